// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>

#include "kinematics/forward.hpp"

using namespace cellproof;

namespace {

class Random {
 public:
  explicit Random(unsigned start) : engine_(start) {}
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  bool one_in(int n) { return std::uniform_int_distribution<int>(1, n)(engine_) == 1; }
  double angle() { return between(-pi, pi); }
  /// Often a quarter turn, as most arms have, else anything.
  double tilt() { return one_in(2) ? (one_in(2) ? pi / 2 : -pi / 2) : angle(); }
  /// Often zero, as in most arms.
  double length() { return one_in(3) ? 0.0 : between(-500, 500); }
  double long_link() { return between(100, 700) * (one_in(2) ? 1 : -1); }
  Joints joints() { return Joints::NullaryExpr([this] { return angle(); }); }

 private:
  std::mt19937 engine_;
};

Pose any_pose(Random& random) {
  Pose pose = Pose::Identity();
  pose.linear() = Eigen::Quaterniond(random.between(-1, 1), random.between(-1, 1), random.between(-1, 1),
                                     random.between(-1, 1))
                      .normalized()
                      .toRotationMatrix();
  pose.translation() << random.between(-200, 200), random.between(-200, 200), random.between(-200, 200);
  return pose;
}

Arm any_arm(Random& random) {
  Arm arm;
  arm.convention = random.one_in(2) ? DhConvention::standard : DhConvention::modified;
  for (DhRow& row : arm.rows) row = {random.length(), random.tilt(), random.length(), random.one_in(2) ? 0 : random.angle()};
  arm.flange_in_link6 = any_pose(random);
  for (int i = 0; i < 6; ++i) arm.dh_from_values(i, i) = random.one_in(2) ? 1 : -1;
  if (random.one_in(3)) arm.dh_from_values(2, 1) = random.one_in(2) ? 1 : -1;
  return arm;
}

/// The a and alpha that follow a joint stand in its own row (standard) or in the next (modified).
DhRow& after_joint(Arm& arm, std::size_t joint) {
  return arm.rows[arm.convention == DhConvention::standard ? joint - 1 : joint];
}

Arm any_spherical_arm(Random& random) {
  Arm arm = any_arm(random);
  after_joint(arm, 4).a = 0;
  after_joint(arm, 5).a = 0;
  arm.rows[4].d = 0;
  return arm;
}

Arm any_parallel_arm(Random& random) {
  Arm arm = any_arm(random);
  for (const std::size_t joint : {2u, 3u}) {
    after_joint(arm, joint).a = random.long_link();
    after_joint(arm, joint).alpha = random.one_in(3) ? pi : 0;
  }
  return arm;
}

double turns_apart(const Joints& a, const Joints& b) {
  const Joints turns = (a - b) / (2 * pi);
  return 2 * pi * (turns.array() - turns.array().round()).abs().maxCoeff();
}

long cases() { return std::getenv("CELLPROOF_LONG") != nullptr ? 100000 : 10000; }

template <typename AnyArm>
void expect_no_solution_missed(AnyArm any_arm_of_kind, ArmStructure kind, unsigned start) {
  Random random(start);
  long tried = 0, missed = 0, unverified = 0, repeated = 0;
  while (tried < cases()) {
    const Arm arm = any_arm_of_kind(random);
    if (arm_structure(arm) != kind) continue;
    const Joints values = random.joints();
    const ArmFrames frames = arm_frames(arm, values);
    if (least_singular_value(flange_jacobian(arm, frames), length_scale(arm)) < 1e-6) continue;
    ++tried;
    const auto solutions = inverse(arm, frames.flange_in_base);
    REQUIRE(solutions);
    bool found = false;
    for (std::size_t i = 0; i < solutions->all.size(); ++i) {
      const Solution& solution = solutions->all[i];
      found = found || turns_apart(solution.values, values) < radians(1e-4);
      const Pose reached = flange_in_base(arm, solution.values);
      const bool there = (reached.translation() - frames.flange_in_base.translation()).norm() < 1e-6 &&
                         Eigen::AngleAxisd(reached.linear().transpose() * frames.flange_in_base.linear()).angle() < 1e-7 &&
                         solution.position_error_mm < 1e-6 && solution.angle_error < 1e-9;
      unverified += there ? 0 : 1;
      for (std::size_t k = 0; k < i; ++k) repeated += turns_apart(solution.values, solutions->all[k].values) < radians(1e-4);
    }
    missed += found ? 0 : 1;
    if (!found) {
      const JointLimits unused;
      (void)unused;
      UNSCOPED_INFO("case " << tried << " has " << solutions->all.size() << " solutions, sigma "
                            << least_singular_value(flange_jacobian(arm, frames), length_scale(arm)));
      for (const auto& r : arm.rows) UNSCOPED_INFO(r.a << " " << r.alpha << " " << r.d << " " << r.theta << " " << int(arm.convention));
      UNSCOPED_INFO(values.transpose());
    }
  }
  CHECK(missed == 0);
  CHECK(unverified == 0);
  CHECK(repeated == 0);
}

}  // namespace

TEST_CASE("no solution of an arm with a spherical wrist is missed") {
  expect_no_solution_missed(any_spherical_arm, ArmStructure::spherical_wrist, 11);
}

TEST_CASE("no solution of an arm with three parallel axes is missed") {
  expect_no_solution_missed(any_parallel_arm, ArmStructure::parallel_axes, 12);
}
