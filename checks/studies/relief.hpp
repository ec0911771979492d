// SPDX-License-Identifier: GPL-3.0-or-later
// A body cut free of a camera's view: what comes off, what is left, and what the camera sees then.
#pragma once

#include <optional>
#include <stop_token>

#include "checks/studies/relief_touch.hpp"
#include "checks/studies/relief_views.hpp"
#include "scene/cutting/cut_surface.hpp"
#include "scene/cutting/solid_cut.hpp"
#include "scene/cutting/zone_loss.hpp"
#include "scene/mesh/rigid_mass.hpp"

namespace cellproof {

struct ReliefRequest {
  CameraId camera;
  BodyEntryId body;
  bool targets_only = false;
  double margin_mm = 0;
  bool as_step = false;  ///< the solids of the body's STEP file, else triangles
  double unit_mm = 1;    ///< of the STL that triangles are written to
  std::stop_token stop{};
};

/// The body of the request.
BodyId body_in(const Scene& scene, const ReliefRequest& request);

/// A suction zone that the body bears.
struct ReliefZone {
  std::string name;
  ZoneLoss loss;
  double force_before_n = 0, force_after_n = 0;
};

struct ReliefLook {
  Look look;
  CameraView before, after;
};

/// All places in the body's own frame, mm.
struct Relief {
  std::vector<ConvexSolid> views;  ///< what was cut free
  SolidCut cut;                    ///< `rest` as it is to be written: in single precision, if triangles
  std::size_t pieces_before = 0;
  std::vector<double> pieces_mm3;  ///< what is left, the largest first
  Measured deepest;                ///< under the old surface
  std::optional<Measured> wall;    ///< nothing: no wall faces away behind the new surface
  double wall_spacing_mm = 0;
  std::optional<RigidMass> mass_before, mass_after;  ///< where the body has a mass or a density
  std::vector<ReliefZone> zones;                     ///< those that lose area
  std::vector<TouchLoss> touches;                    ///< faces that parts touch and that lose area
  std::vector<ReliefLook> looks;
};

/// Error: the body is not in the view, is open or crosses itself, nothing would be left, the cut could not be verified.
tl::expected<Relief, ModelError> cut_relief(const Scene& scene, const std::vector<Look>& looks,
                                            const std::vector<Touch>& touches, const ReliefRequest& request);

}  // namespace cellproof
