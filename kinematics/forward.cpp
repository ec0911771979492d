// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/forward.hpp"

#include <cmath>

#include <Eigen/LU>
#include <Eigen/SVD>

#include "kinematics/sines.hpp"
#include "kinematics/turn.hpp"

namespace cellproof {
namespace {

/// Columns of a pose, four rows each: an Isometry3d product would spend half its time on its last row.
struct Columns {
  Eigen::Vector4d x = Eigen::Vector4d::UnitX(), y = Eigen::Vector4d::UnitY(), z = Eigen::Vector4d::UnitZ(),
                  origin = Eigen::Vector4d::UnitW();

  void turn_about_z(double sine, double cosine) {
    const Eigen::Vector4d turned = cosine * x + sine * y;
    y = cosine * y - sine * x;
    x = turned;
  }
  /// Most tables hold quarter turns only, which need no arithmetic.
  void turn_about_x(const Turn& tilt) {
    if (tilt.sine == 0 && tilt.cosine == 1) return;
    const Eigen::Vector4d before = y;
    if (tilt.cosine == 0) {
      y = tilt.sine * z;
      z = -tilt.sine * before;
    } else {
      y = tilt.cosine * y + tilt.sine * z;
      z = tilt.cosine * z - tilt.sine * before;
    }
  }
  void write_to(Pose& pose) const {
    pose.matrix().col(0) = x;
    pose.matrix().col(1) = y;
    pose.matrix().col(2) = z;
    pose.matrix().col(3) = origin;
  }
};

void step(DhConvention convention, const DhRow& row, double sine, double cosine, Columns& frame) {
  const Turn tilt = turn_by(row.alpha);
  if (convention == DhConvention::standard) {
    frame.turn_about_z(sine, cosine);
    frame.origin += row.d * frame.z + row.a * frame.x;
    frame.turn_about_x(tilt);
  } else {
    frame.turn_about_x(tilt);
    frame.origin += row.a * frame.x + row.d * frame.z;
    frame.turn_about_z(sine, cosine);
  }
}

}  // namespace

ArmFrames arm_frames(const Arm& arm, const Joints& values) {
  ArmFrames frames;
  const Joints dh_angles = arm.dh_from_values * values;
  std::array<double, 6> angles;
  for (std::size_t i = 0; i < 6; ++i) angles[i] = arm.rows[i].theta + dh_angles[static_cast<Eigen::Index>(i)];
  const auto turns = sines_and_cosines(angles);
  Columns frame;
  frame.write_to(frames.link_in_base[0]);
  for (std::size_t i = 0; i < 6; ++i) {
    step(arm.convention, arm.rows[i], turns.sines[i], turns.cosines[i], frame);
    frame.write_to(frames.link_in_base[i + 1]);
  }
  frames.flange_in_base.matrix().noalias() = frames.link_in_base[6].matrix() * arm.flange_in_link6.matrix();
  return frames;
}

std::array<JointAxis, 6> joint_axes(const Arm& arm, const ArmFrames& frames) {
  std::array<JointAxis, 6> axes;
  const std::size_t shift = arm.convention == DhConvention::standard ? 0 : 1;
  for (std::size_t i = 0; i < 6; ++i) {
    const Pose& carrier = frames.link_in_base[i + shift];
    axes[i] = {carrier.translation(), carrier.linear().col(2)};
  }
  return axes;
}

Pose flange_in_base(const Arm& arm, const Joints& values) {
  return arm_frames(arm, values).flange_in_base;
}

Jacobian jacobian_at(const Arm& arm, const ArmFrames& frames, const Vector3d& point_in_base) {
  Jacobian by_dh_angles;
  const auto axes = joint_axes(arm, frames);
  for (std::size_t i = 0; i < 6; ++i) {
    const auto column = static_cast<Eigen::Index>(i);
    by_dh_angles.col(column) << axes[i].direction.cross(point_in_base - axes[i].point), axes[i].direction;
  }
  return by_dh_angles * arm.dh_from_values;
}

Jacobian flange_jacobian(const Arm& arm, const ArmFrames& frames) {
  return jacobian_at(arm, frames, frames.flange_in_base.translation());
}

double manipulability(const Jacobian& jacobian) {
  return std::abs(jacobian.determinant()) * 1e-9;
}

double least_singular_value(const Jacobian& jacobian, double length) {
  Jacobian scaled = jacobian;
  scaled.topRows<3>() /= length;
  return Eigen::JacobiSVD<Jacobian>(scaled).singularValues()[5];
}

}  // namespace cellproof
