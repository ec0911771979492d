// SPDX-License-Identifier: GPL-3.0-or-later
// STEP files with curved faces, written by our own helper program, and a cache folder of the test's own.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <unistd.h>

#include "scene/files/cad_helper.hpp"
#include "scene/files/step_import.hpp"

namespace cellproof::test {

namespace fs = std::filesystem;

/// A folder that goes with the test; tessellations are kept in it, and none from elsewhere are found.
class CadFolder {
 public:
  CadFolder() {
    std::string name = (fs::temp_directory_path() / "cellproof-cad-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path_ = name;
    setenv("XDG_CACHE_HOME", (path_ / "cache").c_str(), 1);
  }
  CadFolder(const CadFolder&) = delete;
  CadFolder& operator=(const CadFolder&) = delete;
  ~CadFolder() {
    unsetenv("XDG_CACHE_HOME");
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  fs::path operator/(const std::string& name) const { return path_ / name; }
  fs::path write(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return path_ / name;
  }

 private:
  fs::path path_;
};

inline std::string answer_of_helper(const std::vector<std::string>& arguments, const std::string& input) {
  const auto answer = ask_cad_helper(arguments, input, "the input");
  if (!answer) FAIL(answer.error().what);
  return *answer;
}

/// One solid of these pieces (see cellproof-cad write --help) as STEP.
inline std::string step_of_pieces(const std::string& add, const std::string& cut = "",
                                  const std::vector<std::string>& options = {}) {
  std::vector<std::string> arguments = {"write"};
  arguments.insert(arguments.end(), options.begin(), options.end());
  return answer_of_helper(arguments,
                          fmt::format(R"({{"solids": [{{"name": "thing", "add": [{}], "cut": [{}]}}]}})", add, cut));
}

inline Mesh mesh_of_step(const fs::path& file, double deviation_mm = 0.05, const std::string& solid = "") {
  const auto mesh = import_step({file, deviation_mm, solid});
  if (!mesh) FAIL(mesh.error().what);
  return *mesh;
}

/// The same without the file's own figures: area and volume are then the triangles'.
inline Mesh triangles_only(Mesh mesh) {
  mesh.exact.reset();
  return mesh;
}

}  // namespace cellproof::test
