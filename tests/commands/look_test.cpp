// SPDX-License-Identifier: GPL-3.0-or-later
// Where else a camera could look from, as a user asks it.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell";

}  // namespace

TEST_CASE("look refuses what it can't use in one line") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  folder.write("still.toml", small_cell.substr(0, small_cell.find("[cycle]")));
  for (const auto& [arguments, word] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"look", "cell.toml", "--step", "nowhere"}, "'nowhere'"},
           {{"look", "still.toml"}, "[cycle]"},
           {{"look", "absent.toml"}, "absent.toml"}}) {
    const Answer answer = run(folder, arguments);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(word) != std::string::npos);
  }
}

TEST_CASE("look of a cell whose looks all see says so") {
  const Folder folder;
  const Answer all = run(folder, {"look", (demo / "mended.toml").string()});
  CHECK(all.status == 0);
  CHECK(all.output.find("Every look sees") != std::string::npos);
}

TEST_CASE("look of a cell without a look, or one that the cycle never comes to, says that") {
  const Folder folder;
  folder.write("none.toml", paul_zhang_arm + "[cycle]\nstart = [0, 45, 170, 0, 45, 0]\n[[step]]\nwait = \"1 s\"\n");
  const Answer none = run(folder, {"look", "none.toml"});
  CHECK(none.status == 2);
  CHECK(none.error.find("the cycle has no look") != std::string::npos);
  const std::string drawn = content_of(demo / "as-drawn.toml");
  const std::size_t look = drawn.find("look = \"wrist camera\""), xyz = drawn.find("xyz = [", look);
  std::string far = drawn;
  far.replace(xyz, drawn.find(']', xyz) - xyz + 1, "xyz = [0, 0, 9000]");
  fs::copy(demo, folder / "cell", fs::copy_options::recursive);
  folder.write("cell/far.toml", far);
  const Answer never = run(folder, {"look", "cell/far.toml"});
  CHECK(never.status == 2);
  CHECK(never.error.find("the cycle never comes to the look") != std::string::npos);
}

TEST_CASE("what look prints for the drawn flange cell passes when it is written back") {
  const Folder folder;
  fs::copy(demo, folder / "cell", fs::copy_options::recursive);
  const Answer told = run(folder, {"look", "cell/as-drawn.toml"});
  REQUIRE(told.status == 0);
  const std::size_t at = told.output.find("to = {");
  REQUIRE(at != std::string::npos);
  const std::string line = told.output.substr(at, told.output.find('\n', at) - at);

  std::string cell = content_of(demo / "as-drawn.toml");
  const std::size_t look = cell.find("look = \"wrist camera\""), to = cell.find("to = {", look);
  cell.replace(to, cell.find('\n', to) - to, line);
  folder.write("cell/changed.toml", cell);
  const auto report = json_of(run(folder, {"check", "cell/changed.toml", "--json", "-"}));
  for (const auto& finding : report["findings"])
    CHECK_FALSE((finding["check"] == "sightline" && finding["severity"] == "fail"));
  CHECK(report["views"][0]["targets"][0]["visible"].get<double>() >= 0.98);
}

TEST_CASE("look answers in JSON as in text") {
  const Folder folder;
  const auto json =
      json_of(run(folder, {"look", (demo / "as-drawn.toml").string(), "--step", "look for the arrow", "--json", "-"}));
  REQUIRE(json["looks"].size() == 1);
  const auto& look = json["looks"][0];
  CHECK(look["camera"] == "wrist camera");
  CHECK(look["passing"].size() == 3);
  CHECK(look["passing"][0]["to"]["tcp"] == "jaw tip");
  CHECK(look["seeing"].get<int>() <= look["in_reach"].get<int>());
}
