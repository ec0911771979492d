// SPDX-License-Identifier: GPL-3.0-or-later
// Ctrl-C stops a long check at once and leaves nothing half-written.
#include <chrono>
#include <csignal>
#include <thread>

#include <fcntl.h>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

/// Hundreds of seats: some seconds of work at the least.
std::string long_cell() {
  std::string text = content_of(fs::path(CELLPROOF_SOURCE_DIR) / "README.md");
  const auto from = text.find("```toml\n") + 8;
  text = text.substr(from, text.find("```", from) - from);
  const std::string box = "box = [200, 200, 10]", seat = "at = { xyz = [0, 0, 5] }", in = "seat = \"tray seat\"",
                    start = "start = [0, 90, 0, 0, 60, 0]";
  text.replace(text.find(seat), seat.size(),
               "at = { xyz = [0, 0, 5] }\ngrid = { columns = 30, rows = 30, pitch = [0.01, 0.01] }");
  text.replace(text.find(in), in.size(), "seat = \"@slot\"");
  text.replace(text.find(start), start.size(), start + "\neach = { \"@slot\" = \"tray seat\" }\nothers = [\"none\"]");
  return text;
}

}  // namespace

TEST_CASE("Ctrl-C stops a check, with nothing written") {
  const Folder folder;
  const fs::path cell = folder.write("long.toml", long_cell()), json = folder / "out.json";
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const int nothing = open("/dev/null", O_WRONLY);
    dup2(nothing, STDOUT_FILENO);
    dup2(nothing, STDERR_FILENO);
    execl(CELLPROOF_PROGRAM, CELLPROOF_PROGRAM, "check", cell.c_str(), "--json", json.c_str(), nullptr);
    _exit(127);
  }
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  kill(child, SIGINT);
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  CHECK(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 130);
  CHECK(folder.count() == 1);  // the cell file alone
}
