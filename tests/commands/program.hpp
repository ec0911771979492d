// SPDX-License-Identifier: GPL-3.0-or-later
// Runs the program as a user does, in a folder of its own, and hands back what came out of it.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/support/text_file.hpp"

namespace cellproof_commands {

namespace fs = std::filesystem;

/// A folder that is there as long as this is.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "cellproof-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }

  fs::path operator/(const fs::path& name) const { return path_ / name; }
  const fs::path& path() const { return path_; }

  fs::path write(const fs::path& name, std::string_view content) const {
    std::ofstream(path_ / name, std::ios::binary) << content;
    return path_ / name;
  }

  /// How many things lie in it.
  std::ptrdiff_t count() const { return std::distance(fs::directory_iterator(path_), {}); }

 private:
  fs::path path_;
};

struct Answer {
  int status = -1;  ///< -1 after a signal, 124 after a minute
  std::string output, error;
};

inline std::string quoted(const std::string& word) {
  std::string text = "'";
  for (const char letter : word) {
    if (letter == '\'')
      text += "'\\''";
    else
      text += letter;
  }
  return text + "'";
}

/// Runs in `folder`, without a display.
inline Answer run(const Folder& folder, const std::vector<std::string>& words) {
  const Folder streams;
  std::string words_quoted;
  for (const auto& word : words) words_quoted += fmt::format(" {}", quoted(word));
  const std::string command =
      fmt::format("cd {} && exec env -u DISPLAY -u WAYLAND_DISPLAY timeout 60 {}{} >{} 2>{} </dev/null",
                  quoted(folder.path().string()), quoted(CELLPROOF_PROGRAM), words_quoted,
                  quoted((streams / "out").string()), quoted((streams / "err").string()));
  const int status = std::system(command.c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, content_of(streams / "out"), content_of(streams / "err")};
}

/// The JSON that a command with `--json -` prints, and nothing beside it.
inline nlohmann::json json_of(const Answer& answer) {
  INFO(answer.error);
  INFO(answer.output);
  REQUIRE(nlohmann::json::accept(answer.output));
  return nlohmann::json::parse(answer.output);
}

inline bool is_one_line(const std::string& text) {
  return !text.empty() && text.find('\n') == text.size() - 1;
}

/// The arm of Paul and Zhang 1986 in the parameters of Corke and Armstrong-Hélouvry 1994 (printed; m there, mm here).
inline const std::string paul_zhang_arm = R"(format = 1
[arm]
joints = [
  { a = 0, alpha = 90, d = 0, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
  { a = 431.8, alpha = 0, d = 0, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
  { a = 20.3, alpha = -90, d = 150.05, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
  { a = 0, alpha = 90, d = 431.8, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
  { a = 0, alpha = -90, d = 0, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
  { a = 0, alpha = 0, d = 0, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 },
]
)";

/// A post in reach of a hand on the flange; the arm stands still for a second, then turns about its first axis.
inline const std::string small_cell = paul_zhang_arm + R"([[body]]
name = "post"
at = { xyz = [0, 900, 0] }
box = [50, 50, 50]
[[body]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 30] }
box = [20, 20, 20]
[[camera]]
name = "eye"
on = "flange"
at = { xyz = [0, 0, 60] }
resolution = [64, 48]
view_angle = 60
range = [1, 5000]
[[target]]
name = "mark"
on = "post"
at = { xyz = [-25, 0, 0], turn = [0, -90, 0] }
size = [10, 10]
[cycle]
start = [0, 45, 170, 0, 45, 0]
[[step]]
wait = "1 s"
[[step]]
look = "eye"
targets = ["mark"]
[[step]]
move = "joint"
to = { joints = [30, 45, 170, 0, 45, 0] }
)";

/// A cell of which the last step, "far off", can't be planned.
inline std::string with_a_step_far_off(const std::string& cell) {
  return cell + R"([[tcp]]
name = "reaching tip"
on = "flange"
[[step]]
name = "far off"
move = "joint"
to = { tcp = "reaching tip", at = { xyz = [9000, 0, 0] } }
)";
}

inline std::string replaced(std::string text, const std::string& what, const std::string& with) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), with);
}

}  // namespace cellproof_commands
