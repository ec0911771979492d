// SPDX-License-Identifier: GPL-3.0-or-later
// Assimp holds coordinates in floats, as a binary STL does: nothing is lost. What a text says would be rounded.
#include <assimp/Importer.hpp>
#include <assimp/scene.h>
#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"

namespace cellproof {

namespace {

std::size_t count_faces(const aiScene& scene) {
  std::size_t faces = 0;
  for (unsigned m = 0; m < scene.mNumMeshes; ++m) faces += scene.mMeshes[m]->mNumFaces;
  return faces;
}

/// False if a face is no triangle of vertices that are there.
bool append_corners(const aiMesh& mesh, std::vector<Vector3d>& corners) {
  for (unsigned f = 0; f < mesh.mNumFaces; ++f) {
    const aiFace& face = mesh.mFaces[f];
    if (face.mNumIndices != 3) return false;
    for (unsigned i = 0; i < 3; ++i) {
      if (face.mIndices[i] >= mesh.mNumVertices) return false;
      const aiVector3D& v = mesh.mVertices[face.mIndices[i]];
      corners.emplace_back(v.x, v.y, v.z);
    }
  }
  return true;
}

}  // namespace

tl::expected<std::vector<Vector3d>, std::string> assimp_corners(const std::filesystem::path& file) {
  const auto refused = [&](const std::string& why) {
    return tl::unexpected(fmt::format("the mesh file {} can't be read as a mesh ({})", file.string(), why));
  };
  Assimp::Importer importer;
  const aiScene* scene = importer.ReadFile(file.string(), 0);
  if (!scene) return refused(importer.GetErrorString());
  std::vector<Vector3d> corners;
  corners.reserve(3 * count_faces(*scene));
  for (unsigned m = 0; m < scene->mNumMeshes; ++m)
    if (!append_corners(*scene->mMeshes[m], corners)) return refused("a face is no triangle of its vertices");
  return corners;
}

}  // namespace cellproof
