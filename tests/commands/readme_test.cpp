// SPDX-License-Identifier: GPL-3.0-or-later
// What the README and the reference say is so.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/support/text_file.hpp"

namespace {

namespace fs = std::filesystem;

const fs::path root = CELLPROOF_SOURCE_DIR;

}  // namespace

TEST_CASE("the README's small cell passes as printed") {
  const std::string readme = content_of(root / "README.md");
  const auto from = readme.find("```toml\n"), to = readme.find("```", from + 8);
  REQUIRE(from != std::string::npos);
  const fs::path cell = fs::temp_directory_path() / "cellproof-readme-small.toml";
  std::ofstream(cell) << readme.substr(from + 8, to - from - 8);
  const int status = std::system((std::string(CELLPROOF_PROGRAM) + " check " + cell.string() + " > /dev/null").c_str());
  fs::remove(cell);
  CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("the reference names every key that the reader asks for") {
  const std::string reference = content_of(root / "docs/cell-file.md");
  const std::regex asked("\\(\"([a-z_]+)\"");
  std::set<std::string> missing;
  int keys = 0;
  for (const auto& entry : fs::directory_iterator(root / "scene/cell")) {
    if (entry.path().filename().string().rfind("read_", 0) != 0) continue;
    const std::string source = content_of(entry.path());
    for (std::sregex_iterator it(source.begin(), source.end(), asked), end; it != end; ++it) {
      ++keys;
      const std::string key = (*it)[1];
      if (!std::regex_search(reference, std::regex("\\b" + key + "\\b"))) missing.insert(key);
    }
  }
  CHECK(keys > 100);
  CHECK(missing == std::set<std::string>{});
}
