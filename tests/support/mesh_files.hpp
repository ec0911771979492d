// SPDX-License-Identifier: GPL-3.0-or-later
// A folder of its own for a test's model files, and meshes written as text.
#pragma once

#include <filesystem>
#include <fstream>

#include <fmt/format.h>
#include <unistd.h>

#include "scene/mesh/mesh.hpp"

namespace cellproof::test {

class ModelFolder {
 public:
  ModelFolder()
      : path_(std::filesystem::temp_directory_path() / fmt::format("cellproof-models-{}-{}", ::getpid(), ++count_)) {
    std::filesystem::create_directories(path_);
  }
  ~ModelFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ModelFolder(const ModelFolder&) = delete;
  ModelFolder& operator=(const ModelFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }

  /// As an OBJ; gives its full path.
  std::string write(const std::string& name, const Mesh& mesh) const {
    std::ofstream out(path_ / name);
    for (const auto& p : mesh.vertices) out << fmt::format("v {} {} {}\n", p.x(), p.y(), p.z());
    for (const auto& [a, b, c] : mesh.triangles) out << fmt::format("f {} {} {}\n", a + 1, b + 1, c + 1);
    return (path_ / name).string();
  }

 private:
  static inline int count_ = 0;
  std::filesystem::path path_;
};

inline Mesh shifted(Mesh mesh, const Vector3d& by) {
  for (Vector3d& vertex : mesh.vertices) vertex += by;
  return mesh;
}

inline Mesh inside_out(Mesh mesh) {
  for (Triangle& triangle : mesh.triangles) std::swap(triangle[0], triangle[1]);
  return mesh;
}

inline Mesh together(const std::vector<Mesh>& meshes) {
  Mesh all;
  for (const Mesh& mesh : meshes) {
    const auto first = static_cast<std::uint32_t>(all.vertices.size());
    all.vertices.insert(all.vertices.end(), mesh.vertices.begin(), mesh.vertices.end());
    for (const auto& [a, b, c] : mesh.triangles) all.triangles.push_back({a + first, b + first, c + first});
  }
  return all;
}

}  // namespace cellproof::test
