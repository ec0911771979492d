// SPDX-License-Identifier: GPL-3.0-or-later
// Small moves of a camera about what it looks at.
#pragma once

#include <string>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// First swung about the target, then moved along its own optical axis, then turned about it.
struct LookChange {
  double swing = 0;    ///< rad
  double towards = 0;  ///< rad, in the picture: 0 the camera goes to the right, a right angle down
  double back_mm = 0;  ///< below 0: forward
  double turn = 0;     ///< rad, right-handed about the optical axis
};

/// Pose of the moved camera in the camera's frame before, where the target's centre is at `centre_in_camera`.
Pose moved_camera(const LookChange& change, const Vector3d& centre_in_camera);

/// The changes that are tried from this far away, the smallest first: a tenth of the distance along the axis counts
/// like 10 deg of swing or 30 deg of turn.
std::vector<LookChange> look_changes(double distance_mm);

/// "40 mm back, swung 10 deg to the left, turned 30 deg"
std::string change_text(const LookChange& change);

}  // namespace cellproof
