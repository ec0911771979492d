// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh_key.hpp"

namespace cellproof {

ContentKey content_of(const Mesh& mesh) {
  KeyWriter writer;
  writer.add(key_of_bytes(mesh.vertices.data(), mesh.vertices.size() * sizeof(Vector3d)));
  writer.add(key_of_bytes(mesh.triangles.data(), mesh.triangles.size() * sizeof(Triangle)));
  writer.add(mesh.deviation.outside);
  writer.add(mesh.deviation.inside);
  return writer.key();
}

}  // namespace cellproof
