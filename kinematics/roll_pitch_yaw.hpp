// SPDX-License-Identifier: GPL-3.0-or-later
// Rotations as roll, pitch and yaw, the way the cell file writes them.
#pragma once

#include "kinematics/types.hpp"

namespace cellproof {

/// Rz(yaw) · Ry(pitch) · Rx(roll), rad.
Eigen::Matrix3d turned(const Vector3d& roll_pitch_yaw);

/// Roll, pitch and yaw (rad) of a rotation; roll is 0 where pitch is a right angle.
Vector3d roll_pitch_yaw(const Eigen::Matrix3d& rotation);

}  // namespace cellproof
