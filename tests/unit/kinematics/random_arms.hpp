// SPDX-License-Identifier: GPL-3.0-or-later
// Arms at random, of every kind, with a liking for quarter turns and zeros as real arms have.
#pragma once

#include <random>

#include "kinematics/arm.hpp"

namespace cellproof::tests {

class Random {
 public:
  explicit Random(unsigned start) : engine_(start) {}
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  bool one_in(int n) { return std::uniform_int_distribution<int>(1, n)(engine_) == 1; }
  double angle() { return between(-pi, pi); }
  double tilt() { return one_in(2) ? (one_in(2) ? pi / 2 : -pi / 2) : angle(); }
  double length() { return one_in(3) ? 0.0 : between(-500, 500); }
  double long_link() { return between(100, 700) * (one_in(2) ? 1 : -1); }
  Joints joints() {
    return Joints::NullaryExpr([this] { return angle(); });
  }
  Vector3d point(double reach) { return {between(-reach, reach), between(-reach, reach), between(-reach, reach)}; }

 private:
  std::mt19937 engine_;
};

inline Pose any_pose(Random& random) {
  Pose pose = Pose::Identity();
  const double turn = random.angle();
  pose.linear() = Eigen::AngleAxisd(turn, random.point(1).normalized()).toRotationMatrix();
  pose.translation() = random.point(200);
  return pose;
}

inline Arm any_arm(Random& random) {
  Arm arm;
  arm.convention = random.one_in(2) ? DhConvention::standard : DhConvention::modified;
  for (DhRow& row : arm.rows) {
    row = {random.length(), random.tilt(), random.length(), random.one_in(2) ? 0 : random.angle()};
  }
  arm.flange_in_link6 = any_pose(random);
  for (int i = 0; i < 6; ++i) arm.dh_from_values(i, i) = random.one_in(2) ? 1 : -1;
  if (random.one_in(3)) arm.dh_from_values(2, 1) = random.one_in(2) ? 1 : -1;
  for (JointLimits& limit : arm.limits) limit = {-2 * pi, 2 * pi, radians(180), radians(600)};
  return arm;
}

/// The a and alpha that follow a joint (1 to 5) stand in its own row (standard) or in the next (modified).
inline DhRow& after_joint(Arm& arm, std::size_t joint) {
  return arm.rows[arm.convention == DhConvention::standard ? joint - 1 : joint];
}

/// Axes `first` (1 to 4) and the two after it meet in a point.
inline Arm any_meeting_arm(Random& random, std::size_t first) {
  Arm arm = any_arm(random);
  after_joint(arm, first).a = 0;
  after_joint(arm, first + 1).a = 0;
  arm.rows[first].d = 0;
  return arm;
}

/// Axes `first` (1 to 4) and the two after it are parallel.
inline Arm any_parallel_arm(Random& random, std::size_t first = 2) {
  Arm arm = any_arm(random);
  for (const std::size_t joint : {first, first + 1}) {
    after_joint(arm, joint).a = random.long_link();
    after_joint(arm, joint).alpha = random.one_in(3) ? pi : 0;
  }
  return arm;
}

inline Arm any_spherical_arm(Random& random) {
  return any_meeting_arm(random, 4);
}

/// Every length and every tilt its own.
inline Arm any_skewed_arm(Random& random) {
  Arm arm = any_arm(random);
  for (DhRow& row : arm.rows) {
    row.a = random.between(-500, 500);
    row.d = random.between(-500, 500);
    row.alpha = random.angle();
  }
  return arm;
}

/// An invented loader's arm: shoulder offset, long upper arm, spherical wrist.
inline Arm loader_arm() {
  Arm arm;
  arm.rows = {{{150, pi / 2, 450, 0},
               {600, 0, 0, pi / 2},
               {120, pi / 2, 0, 0},
               {0, -pi / 2, 640, 0},
               {0, pi / 2, 0, 0},
               {0, 0, 100, 0}}};
  for (JointLimits& limit : arm.limits) limit = {radians(-350), radians(350), radians(180), radians(600)};
  return arm;
}

/// An invented arm whose axes 2, 3 and 4 are parallel, its wrist offset.
inline Arm offset_wrist_arm() {
  Arm arm = loader_arm();
  arm.rows = {{{0, pi / 2, 160, 0},
               {-600, 0, 0, 0},
               {-550, 0, 0, 0},
               {0, pi / 2, 150, 0},
               {0, -pi / 2, 110, 0},
               {0, 0, 100, 0}}};
  return arm;
}

/// Greatest difference of a joint, whole turns aside (rad).
inline double turns_apart(const Joints& a, const Joints& b) {
  const Joints turns = (a - b) / (2 * pi);
  return 2 * pi * (turns.array() - turns.array().round()).abs().maxCoeff();
}

}  // namespace cellproof::tests
