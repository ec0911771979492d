// SPDX-License-Identifier: GPL-3.0-or-later
// Bodies less convex solids, by the helper program, verified by volumes that it has no part in.
#pragma once

#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "scene/basics/model_error.hpp"
#include "scene/cutting/convex_solid.hpp"

namespace cellproof {

struct SolidCut {
  Mesh rest;                        ///< with the file's own volume where it comes from STEP
  std::optional<std::string> step;  ///< the STEP file's bytes, of a STEP body
  double before_mm3 = 0;            ///< of the body
  double removed_mm3 = 0;           ///< 0: the body and the cutters have nothing in common, and `rest` is the body
  Vector3d removed_centroid = Vector3d::Zero();
};

/// A closed mesh less all cutters, both in one frame. Verified: before less after is within the sum of what the cutters
/// have in common with the body and not less than the greatest (equal for one cutter), and nothing is left in any
/// cutter. `subject` begins the sentences of errors: "the mesh of 'plate'". Error: not closed or crossing itself, and
/// where; nothing left; a cut that did not come out.
tl::expected<SolidCut, ModelError> cut_mesh_free(const Mesh& body, const std::vector<ConvexSolid>& cutters,
                                                 const std::string& subject, const std::stop_token& stop = {});

struct StepSolids {
  std::string bytes;           ///< of the STEP file
  std::string solid;           ///< "": all that is in it
  double deviation_mm = 0.05;  ///< of the triangles that come back
};

/// The same for the solids of a STEP file; `mesh` is their tessellation, which the volumes are held against within its
/// deviation.
tl::expected<SolidCut, ModelError> cut_step_free(const StepSolids& body, const Mesh& mesh,
                                                 const std::vector<ConvexSolid>& cutters, const std::string& subject,
                                                 const std::stop_token& stop = {});

/// Solids as a STEP file in mm, named `name`, or "name 1" and so on.
tl::expected<std::string, ModelError> step_of_solids(const std::vector<ConvexSolid>& solids, const std::string& name,
                                                     const std::stop_token& stop = {});

}  // namespace cellproof
