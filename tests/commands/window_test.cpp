// SPDX-License-Identifier: GPL-3.0-or-later
// The window on a display of its own (Xvfb, software graphics), driven by a script.
#include <cstdlib>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

const fs::path window = fs::path(CELLPROOF_PROGRAM).parent_path() / "cellproof-window";
const fs::path models = fs::path(CELLPROOF_SOURCE_DIR) / "models";

/// As `run`, with a display of its own for the time being, whose number the server chooses.
Answer run_on_display(const Folder& folder, const std::string& words) {
  const std::string command = fmt::format(
      "cd {} && {{ Xvfb -displayfd 6 -screen 0 1280x800x24 6>number.txt >/dev/null 2>&1 & server=$!; "
      "while [ ! -s number.txt ] && kill -0 $server; do sleep 0.05; done; "
      "DISPLAY=:$(cat number.txt) timeout 240 {} {} >out.txt 2>err.txt </dev/null; status=$?; "
      "kill $server; wait $server; rm number.txt; exit $status; }}",
      quoted(folder.path().string()), quoted(window.string()), words);
  const int status = std::system(command.c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, content_of(folder / "out.txt"), content_of(folder / "err.txt")};
}

/// Everything that a look through both demo cells does; a gripper comes out of CAD meanwhile, and a file is broken.
const std::string tour = R"(await-proof
next-finding
play 0.3
scrub 0.4
hide enclosure
see-through "side door"
show enclosure
page bodies
page move
page findings
unit in
view top
view fit
open flange-cell/as-drawn.toml
await-proof
next-finding
camera "wrist camera"
replace flange-cell/meshes/finger.stl flange-cell/meshes/finger-relieved.stl
await-proof
replace flange-cell/as-drawn.toml broken.toml
await-proof
replace flange-cell/as-drawn.toml flange-cell/mended.toml
await-proof
screenshot last.png
quit
)";

}  // namespace

TEST_CASE("the window tours both demo cells, takes in what changes and closes cleanly, again and again") {
  const Folder folder;
  for (const char* cell : {"board-cell", "flange-cell"})
    fs::copy(models / cell, folder / cell, fs::copy_options::recursive);
  folder.write("tour.txt", tour);
  folder.write("broken.toml", "format = 1\n[arm\n");
  const int times = std::getenv("CELLPROOF_LONG") ? 20 : 2;
  const std::string drawn = content_of(models / "flange-cell" / "as-drawn.toml");
  const std::string finger = content_of(models / "flange-cell" / "meshes" / "finger.stl");
  for (int i = 0; i < times; ++i) {
    folder.write("flange-cell/as-drawn.toml", drawn);
    folder.write("flange-cell/meshes/finger.stl", finger);
    fs::remove(folder / "last.png");
    const Answer answer = run_on_display(folder, "board-cell/as-drawn.toml --script tour.txt");
    INFO("round " << i << ": " << answer.output << answer.error);
    REQUIRE(answer.status == 0);
    CHECK(answer.output.find("what is wrong with the file") != std::string::npos);
    CHECK(fs::file_size(folder / "last.png") > 20000);
  }
}

TEST_CASE("a script that can't be done ends the window with its line") {
  const Folder folder;
  folder.write("script.txt", "await-proof\nhide nobody\n");
  const Answer answer =
      run_on_display(folder, quoted((models / "flange-cell" / "mended.toml").string()) + " --script script.txt");
  CHECK(answer.status == 2);
  CHECK(answer.error.find("script.txt:2: hide: there is no body 'nobody'") != std::string::npos);
}
