// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees of its targets, and what stands in front of them: measured, not judged.
#pragma once

#include <limits>
#include <optional>
#include <stop_token>
#include <string_view>
#include <vector>

#include "scene/basics/raster.hpp"
#include "scene/scene.hpp"
#include "scene/sight/camera_model.hpp"

namespace cellproof {

struct BlockedShare {
  BodyId body;
  double share = 0;  ///< of the target's area
};

/// A target seen from the rim of the lens's front disk (`lens_radius` about the axis, `front` ahead).
struct RimView {
  /// Share of the straight ways from the rim to the points of the target that are in frame.
  double blocked = std::numeric_limits<double>::quiet_NaN();
  std::vector<BlockedShare> blocked_by;  ///< of the ways, largest first
};
/// "clear", "partly blocked" or "fully blocked".
std::string_view rim_word(const RimView& view);

/// Shares are of area on the target's plane, to within 0.001. Figures that do not apply are NaN.
struct TargetView {
  TargetId target;
  double in_frame = std::numeric_limits<double>::quiet_NaN();  ///< share inside the picture, blockers ignored
  double visible = in_frame;                                   ///< share in frame, seen from its +z side and unblocked
  double in_range = in_frame;                                  ///< share within the camera's range along z, exact
  double facing = in_frame;  ///< rad, between its +z and the direction from its centre to the camera
  /// The worst direction at its centre; NaN if the centre can't be projected, infinity if the target is edge on.
  double mm_per_pixel = in_frame;
  std::optional<bool> in_focus;  ///< all four corners; empty without `focus`
  /// Bodies first met on the way to points that are in frame, largest first: seen from its +z side, the visible share
  /// and these add up to `in_frame`.
  std::vector<BlockedShare> blocked_by;
  std::optional<RimView> rim;  ///< empty without `lens_radius`, without the whole view, or with nothing in frame
};

struct BlockedPixels {
  BodyId body;
  long pixels = 0;
  double share = 0;  ///< of the picture, to within 0.001: pixels at edges count in parts
};

struct CameraView {
  CameraId camera;
  std::vector<TargetView> targets;
  std::vector<BlockedPixels> blocked_by;  ///< end-effector bodies that are the nearest hit, largest first
};

/// What is looked at and from where.
struct ViewRequest {
  CameraId camera;
  std::vector<TargetId> targets;
  Arrangement arrangement;
  Joints joints = Joints::Zero();
  int threads = 0;
  std::stop_token stop{};  ///< the view is not to be used once stop is requested
};
CameraView measure_view(const Scene& scene, const ViewRequest& request);

/// The targets alone, without the whole picture: cheap enough to be asked a thousand times.
std::vector<TargetView> measure_targets(const Scene& scene, const ViewRequest& request);

/// The request's targets from the rim of the lens: see TargetView.
std::vector<std::optional<RimView>> measure_rims(const Scene& scene, const ViewRequest& request);

/// The body that each pixel sees, or none. The ray passes through a place within the
/// pixel, off its centre: see scatter.hpp.
Raster<BodyId> seen_bodies(const Scene& scene, const ViewRequest& request);

}  // namespace cellproof
