// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera must look through, as solids in the frame of what stands in its way.
#pragma once

#include "checks/studies/looks.hpp"
#include "scene/basics/model_error.hpp"
#include "scene/cutting/view_solid.hpp"

namespace cellproof {

struct ViewsAsked {
  CameraId camera;
  FrameId frame;              ///< what the solids are placed in
  bool targets_only = false;  ///< the outlines of what is looked at, in place of the picture's
  double margin_mm = 0;
};

/// Each solid once, however often it is looked through: one where the frame rides with the camera, more where it moves
/// against it between looks, and one a target and place. Without a look the picture's alone, if the frame rides with
/// the camera. Error: no look and no fixed place; no target; nothing enclosed.
tl::expected<std::vector<ConvexSolid>, ModelError> views_in(const Scene& scene, const std::vector<Look>& looks,
                                                            const ViewsAsked& asked);

}  // namespace cellproof
