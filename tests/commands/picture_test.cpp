// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof picture: stills and camera pictures, drawn without a display.
#include <algorithm>
#include <cstdint>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

struct Size {
  std::uint32_t width = 0, height = 0;
};

std::uint32_t number_at(const std::string& bytes, std::size_t at) {
  std::uint32_t number = 0;
  for (std::size_t i = at; i < at + 4; ++i) number = number << 8 | static_cast<unsigned char>(bytes[i]);
  return number;
}

/// printed: a PNG begins with its signature and the chunk IHDR, which begins with width and height.
Size size_of_png(const fs::path& file) {
  const std::string bytes = content_of(file);
  REQUIRE(bytes.size() > 33);
  REQUIRE(bytes.substr(0, 8) == "\x89PNG\r\n\x1a\n");
  REQUIRE(bytes.substr(12, 4) == "IHDR");
  CHECK(bytes.substr(bytes.size() - 8, 4) == "IEND");
  return {number_at(bytes, 16), number_at(bytes, 20)};
}

Answer picture(const Folder& folder, const std::vector<std::string>& options) {
  folder.write("cell.toml", small_cell);
  std::vector<std::string> words{"picture", "cell.toml"};
  words.insert(words.end(), options.begin(), options.end());
  return run(folder, words);
}

}  // namespace

TEST_CASE("a still is a PNG of a page's size") {
  const Folder folder;
  const Answer answer = picture(folder, {"--time", "1.2", "--out", "still.png"});
  INFO(answer.error);
  REQUIRE(answer.status == 0);
  const Size size = size_of_png(folder / "still.png");
  CHECK(size.width >= 640);
  CHECK(size.height >= 480);
  CHECK(folder.count() == 2);
}

TEST_CASE("a camera's picture keeps the proportions of its sensor") {
  const Folder folder;
  const Answer answer = picture(folder, {"--time", "1 s", "--camera", "eye", "--out", "eye.png"});
  INFO(answer.error);
  REQUIRE(answer.status == 0);
  const Size size = size_of_png(folder / "eye.png");
  CHECK(size.width >= 64);
  CHECK(size.height >= 48);
}

TEST_CASE("the picture changes with the time") {
  const Folder folder;
  REQUIRE(picture(folder, {"--time", "0", "--out", "a.png"}).status == 0);
  REQUIRE(picture(folder, {"--time", "1.4", "--out", "b.png"}).status == 0);
  CHECK(content_of(folder / "a.png") != content_of(folder / "b.png"));
}

TEST_CASE("every body that is hidden is left out of the picture, not only the last") {
  const Folder folder;
  REQUIRE(picture(folder, {"--hide", "post", "--out", "a.png"}).status == 0);
  REQUIRE(picture(folder, {"--hide", "hand", "--out", "b.png"}).status == 0);
  REQUIRE(picture(folder, {"--hide", "post", "--hide", "hand", "--out", "c.png"}).status == 0);
  CHECK(content_of(folder / "c.png") != content_of(folder / "a.png"));
  CHECK(content_of(folder / "c.png") != content_of(folder / "b.png"));
}

TEST_CASE("a picture that can't be drawn is refused, and an older one stays") {
  const std::vector<std::vector<std::string>> calls = {{"--time", "9", "--out", "old.png"},
                                                       {"--time=-1", "--out", "old.png"},
                                                       {"--time", "nan", "--out", "old.png"},
                                                       {"--time", "1 mm", "--out", "old.png"},
                                                       {"--camera", "no such eye", "--out", "old.png"},
                                                       {"--run", "no such seat", "--out", "old.png"},
                                                       {"--hold", "no such hold", "--out", "old.png"},
                                                       {"--hold", "x", "--camera", "eye", "--out", "old.png"},
                                                       {"--from", "below", "--out", "old.png"},
                                                       {"--hide", "no such body", "--out", "old.png"},
                                                       {"--eye=1,2,3", "--from", "top", "--out", "old.png"},
                                                       {"--eye=1,2,3", "--camera", "eye", "--out", "old.png"},
                                                       {"--at", "no such body", "--size", "100", "--out", "old.png"},
                                                       {"--at", "post", "--out", "old.png"},
                                                       {"--at", "post", "--size", "0", "--out", "old.png"},
                                                       {"--at", "post", "--size=-5", "--out", "old.png"},
                                                       {"--at", "post", "--size", "1 kg", "--out", "old.png"},
                                                       {"--size", "nan", "--out", "old.png"},
                                                       {"--size", "100", "--camera", "eye", "--out", "old.png"},
                                                       {"--out", "no folder/new.png"},
                                                       {"--out", "."},
                                                       {"--out", "new.jpg"}};
  for (const auto& options : calls) {
    const Folder folder;
    folder.write("old.png", "an older picture");
    const Answer answer = picture(folder, options);
    INFO(options.front() << ": " << answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(content_of(folder / "old.png") == "an older picture");
    CHECK(folder.count() == 2);
  }
}

TEST_CASE("an eye point of one's own gives another picture, and is refused where it gives no direction") {
  const Folder folder;
  REQUIRE(picture(folder, {"--out", "side.png"}).status == 0);
  REQUIRE(picture(folder, {"--eye=2 m,-1 m,50 in", "--out", "own.png"}).status == 0);
  CHECK(size_of_png(folder / "own.png").width == size_of_png(folder / "side.png").width);
  CHECK(content_of(folder / "own.png") != content_of(folder / "side.png"));
  CHECK(picture(folder, {"--eye=1e8,0,0", "--out", "far.png"}).status == 0);  // only its direction counts
  for (const auto& options : std::vector<std::vector<std::string>>{
           {"--at=0,0,0"}, {"--eye=1,2"}, {"--eye=1,2,3", "--at=1,2,3"}, {"--eye=1 kg,0,0"}, {"--eye=1e300,0,0"}}) {
    std::vector<std::string> all = options;
    all.insert(all.end(), {"--out", "no.png"});
    const Answer answer = picture(folder, all);
    CHECK(answer.status == 2);
    CHECK(answer.error.rfind("--", 0) == 0);
    CHECK_FALSE(fs::exists(folder / "no.png"));
  }
}

TEST_CASE("a picture comes near a body or a point and from a side of one's own") {
  const Folder folder;
  REQUIRE(picture(folder, {"--out", "whole.png"}).status == 0);
  std::vector<std::string> pictures{content_of(folder / "whole.png")};
  for (const auto& options : std::vector<std::vector<std::string>>{{"--at", "post", "--size", "200"},
                                                                   {"--at", "post", "--size", "400"},
                                                                   {"--at", "post", "--size", "8 in", "--from", "top"},
                                                                   {"--at=0,0,0", "--size", "300"},
                                                                   {"--size", "300"},
                                                                   {"--at", "post", "--eye=2 m,-1 m,2 m"}}) {
    std::vector<std::string> all = options;
    all.insert(all.end(), {"--out", "near.png"});
    const Answer answer = picture(folder, all);
    INFO(options.back() << ": " << answer.error);
    REQUIRE(answer.status == 0);
    const std::string near = content_of(folder / "near.png");
    CHECK(std::count(pictures.begin(), pictures.end(), near) == 0);
    pictures.push_back(near);
  }
}
