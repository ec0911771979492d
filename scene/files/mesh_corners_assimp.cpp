// SPDX-License-Identifier: GPL-3.0-or-later
#include <fstream>
#include <iterator>

#include <assimp/Importer.hpp>
#include <assimp/postprocess.h>
#include <assimp/scene.h>
#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"

namespace cellproof {

namespace {

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

/// Cutting polygons into triangles ends the program where a face is empty or asks for a vertex that is not there
/// (5.2.5, seen).
bool faces_hold(const aiScene& scene) {
  for (unsigned m = 0; m < scene.mNumMeshes; ++m) {
    if (scene.mMeshes[m]->mNumFaces == 0 || scene.mMeshes[m]->mNumVertices == 0) return false;
    for (unsigned f = 0; f < scene.mMeshes[m]->mNumFaces; ++f) {
      const aiFace& face = scene.mMeshes[m]->mFaces[f];
      if (face.mNumIndices == 0) return false;
      for (unsigned i = 0; i < face.mNumIndices; ++i)
        if (face.mIndices[i] >= scene.mMeshes[m]->mNumVertices) return false;
    }
  }
  return true;
}

const aiScene* read_scene(Assimp::Importer& importer, const std::filesystem::path& file) {
  const std::string text = marked_text(file);
  const aiScene* scene =
      text.empty() ? importer.ReadFile(file.string(), 0)
                   : importer.ReadFileFromMemory(text.data(), text.size(), 0, file.extension().string().c_str() + 1);
  if (!scene || !faces_hold(*scene)) return nullptr;
  return importer.ApplyPostProcessing(aiProcess_Triangulate);
}

}  // namespace

tl::expected<std::vector<Vector3d>, std::string> assimp_corners(const std::filesystem::path& file) {
  Assimp::Importer importer;
  const aiScene* scene = read_scene(importer, file);
  if (!scene || !scene->mRootNode) {
    const std::string said = importer.GetErrorString();
    const std::string reason = said.empty() ? "a face is empty or asks for a vertex that is not there" : said;
    return tl::unexpected(fmt::format("the mesh file {} can't be read as a mesh ({})", file.string(), reason));
  }
  std::vector<Vector3d> corners;
  corners.reserve(3 * count_faces(*scene));
  gather(*scene, *scene->mRootNode, Eigen::Matrix4d::Identity(), corners);
  return corners;
}

}  // namespace cellproof
