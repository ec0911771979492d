// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees of its targets, and what stands in front of them: measured, not judged.
#pragma once

#include <vector>

#include "scene/camera_model.hpp"
#include "scene/scene.hpp"

namespace cellproof {

struct BlockedShare {
  int body = -1;               ///< into the scene's bodies
  double share = 0;            ///< of the target's area
};

struct TargetView {
  int target = -1;             ///< into cell.targets
  double in_frame = 0;         ///< share of the target's area inside the picture, blockers ignored
  double visible = 0;          ///< share in frame, seen from its +z side and unblocked
  double in_range = 0;         ///< share within the camera's range along z
  double facing = 0;           ///< rad, between its +z and the direction from its centre to the camera
  double mm_per_pixel = 0;     ///< the worst direction at its centre
  std::optional<bool> in_focus;       ///< all four corners; empty without `focus`
  std::vector<BlockedShare> blocked_by;   ///< largest first
};

struct BlockedPixels {
  int body = -1;
  long pixels = 0;
  double share = 0;            ///< of the picture
};

struct CameraView {
  int camera = -1;
  std::vector<TargetView> targets;
  std::vector<BlockedPixels> blocked_by;  ///< end-effector bodies that are the nearest hit, largest first
};

/// What is looked at and from where.
struct ViewRequest {
  int camera = -1;                     ///< into cell.cameras
  std::vector<int> targets;            ///< into cell.targets
  Arrangement arrangement;
  Joints joints = Joints::Zero();
  int threads = 0;
};
CameraView measure_view(const Scene& scene, const ViewRequest& request);

/// For pictures: the body that each pixel's centre sees, -1 for none, row by row from the top left.
std::vector<int> seen_bodies(const Scene& scene, const ViewRequest& request);

}  // namespace cellproof
