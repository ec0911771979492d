// SPDX-License-Identifier: GPL-3.0-or-later
// What the model parts of a 3MF package say (3MF Core Specification 1.3, Production Extension 1.1), as plain data.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include <tl/expected.hpp>

#include "scene/files/zip_archive.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// The model part that an object stands in, and its number there.
using ThreemfName = std::pair<std::string, std::uint32_t>;

/// An object placed in another, or in the build.
struct ThreemfPlaced {
  ThreemfName object;
  Eigen::Affine3d at = Eigen::Affine3d::Identity();
};

/// A mesh, or components.
struct ThreemfObject {
  std::vector<Vector3d> vertices;   ///< in the package's unit
  std::vector<Triangle> triangles;  ///< every index is of a vertex
  std::vector<ThreemfPlaced> components;
};

struct ThreemfPackage {
  double unit_mm = 1;
  std::map<ThreemfName, ThreemfObject> objects;
  std::vector<ThreemfPlaced> items;  ///< of the build
};

/// Reads the root model part and every part that it leads to. Every number is a number as a whole, every object that is
/// placed is there. Error: a clause with the line.
tl::expected<ThreemfPackage, std::string> read_threemf(const ZipArchive& archive);

}  // namespace cellproof
