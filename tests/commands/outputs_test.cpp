// SPDX-License-Identifier: GPL-3.0-or-later
// Outputs never take the place of what was read, nor of each other.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;

TEST_CASE("an output that is the cell, one of its models or another output is refused, and all stays as it was") {
  const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell";
  const Folder folder;
  fs::copy(demo, folder / "cell", fs::copy_options::recursive);
  fs::create_symlink("as-drawn.toml", folder / "cell" / "link.json");
  const std::string cell = content_of(folder / "cell/as-drawn.toml");
  const std::string finger = content_of(folder / "cell/meshes/finger.stl");
  const std::vector<std::vector<std::string>> calls = {
      {"check", "cell/as-drawn.toml", "--json", "cell/as-drawn.toml"},
      {"check", "cell/as-drawn.toml", "--json", "cell/../cell/as-drawn.toml"},
      {"check", "cell/as-drawn.toml", "--json", "cell/link.json"},
      {"look", "cell/as-drawn.toml", "--json", "cell/meshes/finger.stl"},
      {"where", "cell/as-drawn.toml", "--joints=0,0,0,0,0,0", "--json", "cell/as-drawn.toml"},
      {"facts", "cell/as-drawn.toml", "--json", "cell/as-drawn.toml"},
      {"facts", "cell/meshes/finger.stl", "--unit", "mm", "--json", "cell/meshes/finger.stl"},
      {"relief", "cell/as-drawn.toml", "--camera", "wrist camera", "--body", "right finger", "--out",
       "cell/meshes/finger.stl"},
      {"relief", "cell/as-drawn.toml", "--camera", "wrist camera", "--body", "right finger", "--out", "cut.stl",
       "--json", "cut.stl"}};
  for (const auto& call : calls) {
    const Answer answer = run(folder, call);
    INFO(call[0] << ": " << answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find("name another") != std::string::npos);
  }
  CHECK(content_of(folder / "cell/as-drawn.toml") == cell);
  CHECK(content_of(folder / "cell/meshes/finger.stl") == finger);
  CHECK_FALSE(fs::exists(folder / "cut.stl"));
}

TEST_CASE("an empty option, a line break in an argument and a closed standard error are refused like anything else") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const Answer empty = run(folder, {"check", "cell.toml", "--json", ""});
  CHECK(empty.status == 2);
  CHECK(is_one_line(empty.error));
  const Answer broken = run(folder, {"picture", "cell.toml", "--camera", "a\nb", "--out", "q.png"});
  CHECK(broken.status == 2);
  CHECK(is_one_line(broken.error));
  const std::string program = quoted(CELLPROOF_PROGRAM);
  const int status = std::system((program + " check nofile.toml 2>&-").c_str());
  CHECK(WEXITSTATUS(status) == 2);
}

TEST_CASE("a name too long for a file is told as such, not as one that is there") {
  const Folder folder;
  const Answer answer = run(folder, {"new", std::string(300, 'x') + ".toml"});
  CHECK(answer.status == 2);
  CHECK(answer.error.find("already") == std::string::npos);
}
