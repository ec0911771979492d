// SPDX-License-Identifier: GPL-3.0-or-later
// Where every frame of the arm is, and the geometric Jacobian.
#pragma once

#include "kinematics/arm.hpp"

namespace cellproof {

/// All frames of an arm at given joint values, in its base frame.
struct ArmFrames {
  ByLink<Pose> link_in_base;
  Pose flange_in_base;
};

/// A joint's axis in the base frame: a point on it (mm) and its unit direction, positive by the DH angle.
struct JointAxis {
  Vector3d point, direction;
};

ArmFrames arm_frames(const Arm& arm, const Joints& values);

/// Axis i (0-based) turns link i+1. Standard: z of frame i; modified: z of frame i+1.
ByJoint<JointAxis> joint_axes(const Arm& arm, const ArmFrames& frames);

Pose flange_in_base(const Arm& arm, const Joints& values);

/// Geometric Jacobian at `point_in_base` (mm), base axes, by the controller's joint values.
Jacobian jacobian_at(const Arm& arm, const ArmFrames& frames, const Vector3d& point_in_base);

/// The same at the flange's origin.
Jacobian flange_jacobian(const Arm& arm, const ArmFrames& frames);

/// |det J| with lengths in metres. T. Yoshikawa, IJRR 4(2):3-9, 1985.
double manipulability(const Jacobian& jacobian);

/// Least singular value of J with its lengths over `length` (mm).
double least_singular_value(const Jacobian& jacobian, double length);

}  // namespace cellproof
