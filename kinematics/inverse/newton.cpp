// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/newton.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {
namespace {

double size_of(const Twist& twist, double length) {
  return std::max(twist.head<3>().norm() / length, twist.tail<3>().norm());
}

}  // namespace

Twist pose_difference(const Pose& from, const Pose& to) {
  Eigen::Quaterniond turn(to.linear() * from.linear().transpose());
  if (turn.w() < 0) turn.coeffs() = -turn.coeffs();
  const double sine = turn.vec().norm();
  const double angle_over_sine = sine > 1e-12 ? 2 * std::atan2(sine, turn.w()) / sine : 2.0;
  Twist difference;
  difference << to.translation() - from.translation(), angle_over_sine * turn.vec();
  return difference;
}

JointMotion::JointMotion(const Jacobian& jacobian, double length) : length_(length) {
  Jacobian scaled = jacobian;
  scaled.topRows<3>() /= length;
  factors_.compute(scaled);
  const double least_pivot = factors_.matrixLU().diagonal().cwiseAbs().minCoeff();
  constexpr double well_conditioned = 1e-4;
  if (!(least_pivot > well_conditioned)) near_singular_.emplace(scaled, Eigen::ComputeFullU | Eigen::ComputeFullV);
}

Joints JointMotion::operator()(const Twist& twist) const {
  Twist scaled = twist;
  scaled.head<3>() /= length_;
  if (!near_singular_) return factors_.solve(scaled);
  const Joints& singular_values = near_singular_->singularValues();
  Joints along = near_singular_->matrixU().transpose() * scaled;
  for (int i = 0; i < 6; ++i) along[i] = singular_values[i] > 1e-9 ? along[i] / singular_values[i] : 0.0;
  return near_singular_->matrixV() * along;
}

std::optional<Joints> settle(const Arm& arm, const Pose& tool_in_flange, const Pose& tool_in_base, const Joints& guess,
                             double length) {
  constexpr double enough = 1e-11, exact = 2e-16;
  constexpr int most_rounds = 20;
  Joints values = guess, best = guess;
  double least = std::numeric_limits<double>::infinity();
  for (int round = 0; round < most_rounds; ++round) {
    const ArmFrames frames = arm_frames(arm, values);
    const Pose tool = frames.flange_in_base * tool_in_flange;
    const Twist error = pose_difference(tool, tool_in_base);
    const double size = size_of(error, length);
    if (!(size < least)) break;
    const bool last_digits = size < enough && size > least / 4;
    least = size;
    best = values;
    if (size < exact || last_digits) break;
    values += JointMotion(jacobian_at(arm, frames, tool.translation()), length)(error);
  }
  if (least > enough) return std::nullopt;
  return best;
}

Twist acceleration_at_constant_speed(const Arm& arm, const ArmFrames& frames, const Vector3d& point_in_base,
                                     const Joints& speeds) {
  const Joints dh_speeds = arm.dh_from_values * speeds;
  const auto axes = joint_axes(arm, frames);
  // Velocity of the carrying link: `turning` about, and `drift` of its point at the base's origin.
  Vector3d turning = Vector3d::Zero(), drift = Vector3d::Zero();
  std::array<Vector3d, 6> axis_turning, axis_speed;
  for (std::size_t i = 0; i < 6; ++i) {
    axis_turning[i] = turning.cross(axes[i].direction);
    axis_speed[i] = turning.cross(axes[i].point) + drift;
    const double speed = dh_speeds[static_cast<Eigen::Index>(i)];
    turning += speed * axes[i].direction;
    drift += speed * axes[i].point.cross(axes[i].direction);
  }
  const Vector3d point_speed = turning.cross(point_in_base) + drift;
  Vector3d linear = Vector3d::Zero(), angular = Vector3d::Zero();
  for (std::size_t i = 0; i < 6; ++i) {
    const double speed = dh_speeds[static_cast<Eigen::Index>(i)];
    linear += speed * (axis_turning[i].cross(point_in_base - axes[i].point) +
                       axes[i].direction.cross(point_speed - axis_speed[i]));
    angular += speed * axis_turning[i];
  }
  Twist acceleration;
  acceleration << linear, angular;
  return acceleration;
}

}  // namespace cellproof
