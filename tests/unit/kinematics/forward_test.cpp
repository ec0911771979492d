// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/forward.hpp"

#include <catch2/catch.hpp>

#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

using Eigen::AngleAxisd;
using Eigen::Translation3d;

/// The conventions as written, factor by factor, with signs and couplings spelled out.
Pose by_factors(const Arm& arm, const Joints& values) {
  Pose pose = Pose::Identity();
  for (int i = 0; i < 6; ++i) {
    const DhRow& row = arm.rows[i];
    double angle = row.theta;
    for (int j = 0; j < 6; ++j) angle += arm.dh_from_values(i, j) * values[j];
    const AngleAxisd turn(angle, Vector3d::UnitZ()), tilt(row.alpha, Vector3d::UnitX());
    const Translation3d along_z(0, 0, row.d), along_x(row.a, 0, 0);
    pose = arm.convention == DhConvention::standard ? pose * turn * along_z * along_x * tilt
                                                    : pose * tilt * along_x * turn * along_z;
  }
  return pose * arm.flange_in_link6;
}

}  // namespace

TEST_CASE("frames follow the convention factor by factor") {
  Random random(3);
  for (int i = 0; i < 2000; ++i) {
    const Arm arm = any_arm(random);
    const Joints values = 3 * random.joints();
    const Pose expected = by_factors(arm, values), found = flange_in_base(arm, values);
    CHECK((found.linear() - expected.linear()).cwiseAbs().maxCoeff() < 1e-14);
    CHECK((found.translation() - expected.translation()).norm() < 1e-11);
  }
}

TEST_CASE("values of many turns are as good as their remainder") {
  const Arm arm = loader_arm();
  const Joints values = Joints::Constant(0.3), turned = values + Joints::Constant(2 * pi * 1000);
  CHECK((flange_in_base(arm, values).matrix() - flange_in_base(arm, turned).matrix()).cwiseAbs().maxCoeff() < 1e-8);
  Joints huge = values;
  huge[0] = 1e9;
  CHECK((flange_in_base(arm, huge).matrix() - by_factors(arm, huge).matrix()).cwiseAbs().maxCoeff() < 1e-9);
}

TEST_CASE("the Jacobian is the slope of the pose by the controller's values") {
  Random random(4);
  for (int i = 0; i < 200; ++i) {
    const Arm arm = any_arm(random);
    const Joints values = random.joints();
    const Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, values));
    for (int j = 0; j < 6; ++j) {
      constexpr double h = 1e-5;
      const Pose ahead = by_factors(arm, values + h * Joints::Unit(j)),
                 behind = by_factors(arm, values - h * Joints::Unit(j));
      const Vector3d linear = (ahead.translation() - behind.translation()) / (2 * h);
      const AngleAxisd turned(ahead.linear() * behind.linear().transpose());
      const Vector3d angular = turned.angle() * turned.axis() / (2 * h);
      CHECK((jacobian.col(j).head<3>() - linear).norm() < 1e-5);
      CHECK((jacobian.col(j).tail<3>() - angular).norm() < 1e-7);
    }
  }
}

TEST_CASE("an axis does not move when its own joint turns") {
  Random random(6);
  for (int i = 0; i < 200; ++i) {
    Arm arm = any_arm(random);
    arm.dh_from_values.setIdentity();
    const Joints values = random.joints();
    const auto before = joint_axes(arm, arm_frames(arm, values));
    for (std::size_t j = 0; j < 6; ++j) {
      const auto after = joint_axes(arm, arm_frames(arm, values + 0.7 * Joints::Unit(static_cast<Eigen::Index>(j))));
      CHECK((after[j].direction - before[j].direction).norm() < 1e-13);
      CHECK(before[j].direction.cross(after[j].point - before[j].point).norm() < 1e-10);
    }
  }
}

TEST_CASE("limits have a margin, and sums of joints too") {
  Arm arm = loader_arm();  // ± 350°
  CHECK(degrees(limit_margin(arm, Joints::Constant(radians(340)))) == Approx(10));
  CHECK(degrees(limit_margin(arm, Joints::Constant(radians(-355)))) == Approx(-5));
  SumLimit sum;
  sum.coefficients << 0, 1, 1, 0, 0, 0;
  sum.min = radians(-60), sum.max = radians(200);
  arm.sum_limits = {sum};
  CHECK(degrees(limit_margin(arm, Joints::Constant(radians(99)))) == Approx(2));
  CHECK(within_limits(arm, Joints::Constant(radians(100))));
  CHECK_FALSE(within_limits(arm, Joints::Constant(radians(101))));
}
