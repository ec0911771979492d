// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh as the library that ours is compared with takes it.
#pragma once

#include <vector>

#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/math/bv/OBBRSS.h>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

using FclModel = fcl::BVHModel<fcl::OBBRSSd>;

inline void fill(FclModel& model, const Mesh& mesh) {
  std::vector<fcl::Triangle> triangles;
  for (const auto& [a, b, c] : mesh.triangles) triangles.emplace_back(a, b, c);
  model.beginModel();
  model.addSubModel(mesh.vertices, triangles);
  model.endModel();
}

}  // namespace cellproof
