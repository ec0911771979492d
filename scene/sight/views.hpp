// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees of its targets, and what stands in front of them: measured, not judged.
#pragma once

#include <limits>
#include <optional>
#include <stop_token>
#include <string_view>
#include <vector>

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

/// Shares of a target's area are estimates, true in the mean and to within this: lines across the target, exact along
/// each (scan_lines.hpp). Where nothing is in the way they are exact,
/// and where something is, however small, less than the whole is seen.
inline constexpr double share_tolerance = 0.001;

/// Shares are of area on the target's plane. Figures that do not apply are NaN.
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

/// True if surely no less than `asked` of the target is visible: an estimate counts by its careful end, and only the
/// whole, which is exact, passes without.
bool sees_enough(const TargetView& view, double asked);

struct BlockedPixels {
  BodyId body;
  long pixels = 0;
  /// Of the picture: an estimate by at least 300,000 rays, true in the mean. To within 0.001 behind outlines; twice
  /// that where wires are everywhere.
  double share = 0;
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

/// The body that each pixel sees, if any, row by row from the top left. The ray passes through a place within the
/// pixel, off its centre: see scatter.hpp.
std::vector<BodyId> seen_bodies(const Scene& scene, const ViewRequest& request);

}  // namespace cellproof
