// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh_import.hpp"

#include <algorithm>
#include <bit>
#include <cctype>
#include <cmath>
#include <fstream>
#include <iterator>
#include <system_error>

#include <assimp/Importer.hpp>
#include <assimp/postprocess.h>
#include <assimp/scene.h>
#include <fmt/format.h>

namespace cellproof {

namespace {

std::uint64_t hash_of(const Vector3d& p) {
  std::uint64_t hash = 0;
  for (int i = 0; i < 3; ++i) {
    hash = (hash ^ std::bit_cast<std::uint64_t>(p[i])) * 0x9e3779b97f4a7c15ULL;
    hash ^= hash >> 32;
  }
  return hash;
}

/// Numbers positions from 0, equal ones alike: a table with open addressing, at most half full.
class Welder {
 public:
  explicit Welder(std::size_t corners) : slots_(std::bit_ceil(std::max<std::size_t>(16, corners / 2)), empty) {}

  std::uint32_t number(const Vector3d& position) {
    const Vector3d key = position + Vector3d::Zero();  // -0 becomes 0
    if (2 * (vertices.size() + 1) > slots_.size()) grow();
    std::uint32_t& slot = find(key);
    if (slot == empty) {
      slot = static_cast<std::uint32_t>(vertices.size());
      vertices.push_back(key);
    }
    return slot;
  }

  std::vector<Vector3d> vertices;

 private:
  static constexpr std::uint32_t empty = 0xffffffff;

  std::uint32_t& find(const Vector3d& key) {
    std::size_t at = hash_of(key) & (slots_.size() - 1);
    while (slots_[at] != empty && vertices[slots_[at]] != key) at = (at + 1) & (slots_.size() - 1);
    return slots_[at];
  }

  void grow() {
    slots_.assign(2 * slots_.size(), empty);
    for (std::uint32_t i = 0; i < vertices.size(); ++i) find(vertices[i]) = i;
  }

  std::vector<std::uint32_t> slots_;
};

/// Without area, as far as doubles can tell.
bool degenerate(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  const Vector3d ab = b - a, ac = c - a;
  const double longest = std::max({ab.squaredNorm(), ac.squaredNorm(), (c - b).squaredNorm()});
  return ab.cross(ac).norm() <= 1e-14 * longest;
}

Eigen::Matrix4d matrix_of(const aiMatrix4x4& m) {
  Eigen::Matrix4d result;
  for (unsigned row = 0; row < 4; ++row)
    for (unsigned column = 0; column < 4; ++column) result(row, column) = static_cast<double>(m[row][column]);
  return result;
}

/// Appends the triangles of one Assimp mesh, placed; a mirrored placement is turned right side out again.
void append_corners(const aiMesh& mesh, const Eigen::Matrix4d& placed, std::vector<Vector3d>& corners) {
  const Eigen::Matrix3d linear = placed.topLeftCorner<3, 3>();
  const Vector3d shift = placed.topRightCorner<3, 1>();
  const bool mirrored = linear.determinant() < 0;
  for (unsigned f = 0; f < mesh.mNumFaces; ++f) {
    const aiFace& face = mesh.mFaces[f];
    if (face.mNumIndices != 3) continue;  // points and lines bound nothing
    for (unsigned i = 0; i < 3; ++i) {
      const aiVector3D& v = mesh.mVertices[face.mIndices[mirrored ? 2 - i : i]];
      corners.emplace_back(linear * Vector3d(v.x, v.y, v.z) + shift);
    }
  }
}

void gather(const aiScene& scene, const aiNode& node, const Eigen::Matrix4d& parent, std::vector<Vector3d>& corners) {
  const Eigen::Matrix4d placed = parent * matrix_of(node.mTransformation);
  for (unsigned i = 0; i < node.mNumMeshes; ++i) append_corners(*scene.mMeshes[node.mMeshes[i]], placed, corners);
  for (unsigned i = 0; i < node.mNumChildren; ++i) gather(scene, *node.mChildren[i], placed, corners);
}

std::size_t count_faces(const aiScene& scene) {
  std::size_t faces = 0;
  for (unsigned i = 0; i < scene.mNumMeshes; ++i) faces += scene.mMeshes[i]->mNumFaces;
  return faces;
}

/// What is wrong before the file is opened; empty if nothing is.
std::string trouble_with(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  std::error_code error;
  if (!std::filesystem::exists(file, error)) return fmt::format("the mesh file {} does not exist", file.string());
  if (!std::filesystem::is_regular_file(file, error)) return fmt::format("{} is not a file", file.string());
  if (ending != ".stl" && ending != ".obj")
    return fmt::format("the mesh file {} is neither .stl nor .obj, the formats read here", file.string());
  if (std::filesystem::file_size(file, error) == 0) return fmt::format("the mesh file {} is empty", file.string());
  return {};
}

constexpr double farthest_mm = 1e9;

/// Some editors put these bytes before a text's first line, which then would not be seen as the vertex it is.
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// The content of an .obj that begins with a byte order mark, without the mark; else empty.
std::string marked_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::string text(byte_order_mark.size(), '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (!in || text != byte_order_mark) return {};
  return {std::istreambuf_iterator<char>(in), {}};
}

const aiScene* read_scene(Assimp::Importer& importer, const std::filesystem::path& file) {
  const std::string text = marked_text(file);
  if (text.empty()) return importer.ReadFile(file.string(), aiProcess_Triangulate);
  return importer.ReadFileFromMemory(text.data(), text.size(), aiProcess_Triangulate,
                                     file.extension().string().c_str() + 1);
}

/// All corners in mm, three a triangle.
tl::expected<std::vector<Vector3d>, std::string> read_corners(const std::filesystem::path& file, double unit_mm) {
  Assimp::Importer importer;
  const aiScene* scene = read_scene(importer, file);
  if (!scene || !scene->mRootNode) {
    const std::string reason = importer.GetErrorString();
    return tl::unexpected(fmt::format("the mesh file {} can't be read as a mesh ({})", file.string(), reason));
  }
  std::vector<Vector3d> corners;
  corners.reserve(3 * count_faces(*scene));
  gather(*scene, *scene->mRootNode, Eigen::Matrix4d::Identity(), corners);
  for (Vector3d& corner : corners) corner *= unit_mm;
  return corners;
}

}  // namespace

ImportedMesh weld(const std::vector<Vector3d>& corners) {
  ImportedMesh result;
  Mesh& mesh = result.mesh;
  mesh.triangles.reserve(corners.size() / 3);
  Welder welder(corners.size());
  for (std::size_t i = 0; i + 2 < corners.size(); i += 3) {
    if (degenerate(corners[i], corners[i + 1], corners[i + 2])) {
      ++result.degenerate_dropped;
      continue;
    }
    const std::uint32_t a = welder.number(corners[i]), b = welder.number(corners[i + 1]),
                        c = welder.number(corners[i + 2]);
    mesh.triangles.push_back({a, b, c});
  }
  mesh.vertices = std::move(welder.vertices);
  return result;
}

tl::expected<ImportedMesh, std::string> import_mesh(const std::filesystem::path& file, double unit_mm) {
  if (std::string trouble = trouble_with(file); !trouble.empty()) return tl::unexpected(std::move(trouble));
  auto corners = read_corners(file, unit_mm);
  if (!corners) return tl::unexpected(std::move(corners.error()));
  if (!std::all_of(corners->begin(), corners->end(), [](const Vector3d& p) { return p.allFinite(); }))
    return tl::unexpected(fmt::format("the mesh file {} has a coordinate that is not a finite number", file.string()));
  if (!std::all_of(corners->begin(), corners->end(),
                   [](const Vector3d& p) { return p.cwiseAbs().maxCoeff() <= farthest_mm; }))
    return tl::unexpected(fmt::format(
        "the mesh file {} reaches more than 1000 km far; its unit is wrong or it is broken", file.string()));
  ImportedMesh result = weld(*corners);
  if (result.mesh.triangles.empty())
    return tl::unexpected(fmt::format("the mesh file {} has no triangles with an area", file.string()));
  return result;
}

}  // namespace cellproof
