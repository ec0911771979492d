// SPDX-License-Identifier: GPL-3.0-or-later
// What the README and the reference say is so.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  REQUIRE(in);
  return {std::istreambuf_iterator<char>(in), {}};
}

const fs::path root = CELLPROOF_SOURCE_DIR;

/// Folders in the order of the house: a folder may include itself and what stands to its left here.
const std::vector<std::string> house = {"kinematics", "scene", "checks", "viewer", "window", "app"};

}  // namespace

TEST_CASE("the README's small cell passes as printed") {
  const std::string readme = text_of(root / "README.md");
  const auto from = readme.find("```toml\n"), to = readme.find("```", from + 8);
  REQUIRE(from != std::string::npos);
  const fs::path cell = fs::temp_directory_path() / "cellproof-readme-small.toml";
  std::ofstream(cell) << readme.substr(from + 8, to - from - 8);
  const int status = std::system((std::string(CELLPROOF_PROGRAM) + " check " + cell.string() + " > /dev/null").c_str());
  fs::remove(cell);
  CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("the reference names every key that the reader asks for") {
  const std::string reference = text_of(root / "docs/cell-file.md");
  const std::regex asked("\\(\"([a-z_]+)\"");
  std::set<std::string> missing;
  int keys = 0;
  for (const auto& entry : fs::directory_iterator(root / "scene")) {
    if (entry.path().filename().string().rfind("read_", 0) != 0) continue;
    const std::string source = text_of(entry.path());
    for (std::sregex_iterator it(source.begin(), source.end(), asked), end; it != end; ++it) {
      ++keys;
      const std::string key = (*it)[1];
      if (!std::regex_search(reference, std::regex("\\b" + key + "\\b"))) missing.insert(key);
    }
  }
  CHECK(keys > 100);
  CHECK(missing == std::set<std::string>{});
}

TEST_CASE("nothing in the house includes leftward") {
  const std::regex include("#include \"([a-z]+)/");
  int includes = 0;
  for (std::size_t folder = 0; folder < house.size(); ++folder)
    for (const auto& entry : fs::recursive_directory_iterator(root / house[folder])) {
      if (entry.path().extension() != ".cpp" && entry.path().extension() != ".hpp") continue;
      const std::string source = text_of(entry.path());
      for (std::sregex_iterator it(source.begin(), source.end(), include), end; it != end; ++it) {
        ++includes;
        const std::string other = (*it)[1];
        const auto place = static_cast<std::size_t>(std::find(house.begin(), house.end(), other) - house.begin());
        INFO(entry.path().string() << " includes from " << other);
        CHECK(place <= folder);
      }
    }
  CHECK(includes > 100);
}

TEST_CASE("only the helper program includes the CAD library, and it includes no more of the house than meshes") {
  const std::regex library("#include <(Standard|TopoDS|BRep|STEP|gp_|Geom)"), house_include("#include \"([a-z]+)/");
  int of_library = 0;
  for (const auto& folder : house)
    for (const auto& entry : fs::recursive_directory_iterator(root / folder))
      if (entry.is_regular_file()) CHECK_FALSE(std::regex_search(text_of(entry.path()), library));
  for (const auto& entry : fs::recursive_directory_iterator(root / "cad")) {
    const std::string source = text_of(entry.path());
    if (std::regex_search(source, library)) ++of_library;
    for (std::sregex_iterator it(source.begin(), source.end(), house_include), end; it != end; ++it) {
      INFO(entry.path().string() << " includes from " << (*it)[1]);
      CHECK(std::set<std::string>{"cad", "scene", "kinematics"}.count((*it)[1]) == 1);
    }
  }
  CHECK(of_library > 5);
}

TEST_CASE("only the window draws with Open3D, and what it knows and does is free of it") {
  const std::regex library("#include <open3d/");
  int of_library = 0;
  for (const auto& folder : house)
    if (folder != std::string("window"))
      for (const auto& entry : fs::recursive_directory_iterator(root / folder))
        if (entry.is_regular_file()) CHECK_FALSE(std::regex_search(text_of(entry.path()), library));
  for (const auto& entry : fs::recursive_directory_iterator(root / "window")) {
    if (!entry.is_regular_file() || !std::regex_search(text_of(entry.path()), library)) continue;
    INFO(entry.path().string());
    CHECK(entry.path().parent_path().filename() != "desk");
    ++of_library;
  }
  CHECK(of_library > 5);
}
