// SPDX-License-Identifier: GPL-3.0-or-later
// Ctrl-C during a check.
#include <chrono>
#include <csignal>
#include <thread>

#include <fcntl.h>
#include <spawn.h>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

using Clock = std::chrono::steady_clock;

/// The program as a shell with a terminal starts it: Ctrl-C means what it says, standard error goes into a file.
pid_t started(const Folder& folder, const Folder& streams, const std::vector<std::string>& words) {
  std::vector<std::string> all{CELLPROOF_PROGRAM};
  all.insert(all.end(), words.begin(), words.end());
  std::vector<char*> arguments;
  for (auto& word : all) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  sigset_t interrupt, none;
  sigemptyset(&interrupt), sigaddset(&interrupt, SIGINT), sigemptyset(&none);
  posix_spawnattr_setsigdefault(&attributes, &interrupt);
  posix_spawnattr_setsigmask(&attributes, &none);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK);
  posix_spawn_file_actions_t files;
  posix_spawn_file_actions_init(&files);
  const std::string out = (streams / "out").string(), err = (streams / "err").string();
  posix_spawn_file_actions_addopen(&files, 1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  posix_spawn_file_actions_addopen(&files, 2, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  posix_spawn_file_actions_addchdir_np(&files, folder.path().c_str());
  pid_t child = -1;
  REQUIRE(posix_spawn(&child, CELLPROOF_PROGRAM, &files, &attributes, arguments.data(), environ) == 0);
  posix_spawn_file_actions_destroy(&files);
  posix_spawnattr_destroy(&attributes);
  return child;
}

/// A ball on the flange that slips by another at hardly more than what is asked, again and again: minutes of work.
std::string long_cell() {
  std::string cell = paul_zhang_arm + R"([[body]]
name = "ball"
on = "flange"
at = { xyz = [0, 0, 200] }
sphere = { radius = 100 }
[[body]]
name = "shell"
on = "base"
sphere = { radius = 1500 }
[[body]]
name = "post"
at = { xyz = [0, 1000, 0] }
sphere = { radius = 400 }
[cycle]
start = [0, 45, 170, 0, 45, 0]
)";
  for (int i = 0; i < 400; ++i)
    cell += fmt::format("[[step]]\nmove = \"joint\"\nto = {{ joints = [{}, 45, {}, {}, 45, 0] }}\n", i % 2 ? 0 : 170,
                        i % 3 ? 170 : 10, i % 90);
  return cell;
}

}  // namespace

TEST_CASE("Ctrl-C stops a check at once and leaves nothing behind") {
  for (const int wait_ms : {5, 300, 900}) {
    CAPTURE(wait_ms);
    const Folder folder, streams;
    folder.write("cell.toml", long_cell());
    const pid_t child = started(folder, streams, {"check", "cell.toml", "--json", "report.json"});
    std::this_thread::sleep_for(std::chrono::milliseconds(wait_ms));
    int status = 0;
    REQUIRE(waitpid(child, &status, WNOHANG) == 0);  // it is still at work
    const auto asked = Clock::now();
    kill(child, SIGINT);
    while (waitpid(child, &status, WNOHANG) == 0 && Clock::now() - asked < std::chrono::seconds(20))
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
    const auto took = Clock::now() - asked;
    if (took >= std::chrono::seconds(20)) kill(child, SIGKILL);
    CHECK(took < std::chrono::seconds(5));  // of minutes, on a busy machine
    if (wait_ms > 5) {  // before that the program may not have begun to watch, and ends by the signal itself
      REQUIRE(WIFEXITED(status));
      CHECK(WEXITSTATUS(status) == 130);
      CHECK(content_of(streams / "err") == "stopped; nothing written\n");
    }
    CHECK(content_of(streams / "out").empty());
    CHECK(folder.count() == 1);
  }
}
