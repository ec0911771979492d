// SPDX-License-Identifier: GPL-3.0-or-later
// The house is as DEVELOPERS.md says: each file in a room, each include allowed, heavy libraries where they are told to
// be.
#include <algorithm>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/support/text_file.hpp"

namespace {

namespace fs = std::filesystem;

const fs::path root = CELLPROOF_SOURCE_DIR;
const std::vector<std::string> folders = {"kinematics", "scene", "checks", "viewer", "command_line", "app", "cad"};

std::vector<std::string> all_matches(const std::string& text, const std::regex& pattern) {
  std::vector<std::string> found;
  for (std::sregex_iterator it(text.begin(), text.end(), pattern), end; it != end; ++it) found.push_back((*it)[1]);
  return found;
}

/// What each room may include, by DEVELOPERS.md: rows | `room` | what it answers | `other` `folder/*` … |
std::map<std::string, std::vector<std::string>> rooms_told() {
  const std::string text = content_of(root / "DEVELOPERS.md");
  const auto from = text.find("\n## The rooms\n"), to = text.find("\n## ", from + 1);
  REQUIRE(from != std::string::npos);
  std::map<std::string, std::vector<std::string>> rooms;
  const std::string section = text.substr(from, to - from);
  const std::regex row("\n\\| `([a-z_/]+)` \\|[^|\n]*\\|([^|\n]*)\\|"), quoted("`([a-z_/*]+)`");
  for (std::sregex_iterator it(section.begin(), section.end(), row), end; it != end; ++it)
    rooms[(*it)[1]] = all_matches((*it)[2], quoted);
  return rooms;
}

/// "scene/*" stands for the folder and all that is in it.
bool stands_for(const std::string& told, const std::string& room) {
  if (told.size() < 2 || told.substr(told.size() - 2) != "/*") return told == room;
  const std::string folder = told.substr(0, told.size() - 2);
  return room == folder || room.rfind(folder + "/", 0) == 0;
}

std::vector<fs::path> sources_in(const std::string& folder) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
    const auto extension = entry.path().extension();
    if (extension == ".cpp" || extension == ".hpp") files.push_back(entry.path());
  }
  return files;
}

std::string room_of(const fs::path& file) {
  return fs::relative(file.parent_path(), root).generic_string();
}

/// The folders below `folder` (itself included) whose files include a header of this pattern, and how many files do.
std::map<std::string, int> users_of(const std::regex& library) {
  std::map<std::string, int> users;
  for (const auto& folder : folders)
    for (const auto& file : sources_in(folder))
      if (std::regex_search(content_of(file), library)) ++users[room_of(file)];
  return users;
}

}  // namespace

TEST_CASE("every source stands in a room that DEVELOPERS.md tells, and every room told has sources") {
  const auto rooms = rooms_told();
  std::set<std::string> used;
  for (const auto& folder : folders)
    for (const auto& file : sources_in(folder)) {
      INFO(file.string());
      CHECK(rooms.count(room_of(file)) == 1);
      used.insert(room_of(file));
    }
  for (const auto& [room, may] : rooms) {
    INFO(room);
    CHECK(used.count(room) == 1);
  }
}

TEST_CASE("no room includes what DEVELOPERS.md does not allow it") {
  const auto rooms = rooms_told();
  const std::regex include("#include \"([^\"]+)/[^/\"]+\"");
  int includes = 0;
  for (const auto& folder : folders)
    for (const auto& file : sources_in(folder)) {
      const std::string own = room_of(file);
      const auto may = rooms.find(own);
      if (may == rooms.end()) continue;
      for (const std::string& other : all_matches(content_of(file), include)) {
        if (other == own) continue;
        ++includes;
        INFO(file.string() << " includes from " << other);
        CHECK(std::any_of(may->second.begin(), may->second.end(),
                          [&](const std::string& told) { return stands_for(told, other); }));
      }
    }
  CHECK(includes > 400);
}

TEST_CASE("the arrows between rooms form no ring") {
  auto rooms = rooms_told();
  // Rooms whose allowed includes are all gone already are taken away, until none is left.
  for (bool taken = true; taken;) {
    taken = false;
    for (auto room = rooms.begin(); room != rooms.end(); ++room) {
      const bool free = std::none_of(rooms.begin(), rooms.end(), [&](const auto& other) {
        return other.first != room->first &&
               std::any_of(room->second.begin(), room->second.end(),
                           [&](const std::string& told) { return stands_for(told, other.first); });
      });
      if (!free) continue;
      rooms.erase(room);
      taken = true;
      break;
    }
  }
  for (const auto& [room, may] : rooms) {
    INFO(room);
    CHECK(may.empty());
  }
}

TEST_CASE("the ten questions' files are there") {
  const std::string text = content_of(root / "DEVELOPERS.md");
  const auto from = text.find("\n## Ten questions"), to = text.find("\n## ", from + 1);
  REQUIRE(from != std::string::npos);
  const auto files = all_matches(text.substr(from, to - from), std::regex("`([a-z_/]+\\.[ch]pp)`"));
  CHECK(files.size() >= 10);
  for (const auto& file : files) {
    INFO(file);
    CHECK(fs::exists(root / file));
  }
}

TEST_CASE("only the helper program includes the CAD library") {
  const auto users = users_of(std::regex("#include <(Standard|TopoDS|BRep|STEP|gp_|Geom)"));
  REQUIRE(users.size() == 1);
  CHECK(users.begin()->first == "cad");
  CHECK(users.begin()->second > 5);
}

TEST_CASE("one source alone includes CLI11, which takes seconds to compile") {
  const auto users = users_of(std::regex("#include <CLI/"));
  REQUIRE(users.size() == 1);
  CHECK(users.begin()->first == "command_line");
  CHECK(users.begin()->second == 1);
}

TEST_CASE("only the window draws with Open3D") {
  const auto users = users_of(std::regex("#include <open3d/"));
  REQUIRE(users.size() == 1);
  CHECK(users.begin()->first == "viewer/window");
  CHECK(users.begin()->second > 5);
}
