// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

Arm with_limits(double first_and_last, double others) {
  Arm arm = loader_arm();
  for (JointLimits& limit : arm.limits) limit = {-radians(others), radians(others), 1, 1};
  arm.limits[0].min = arm.limits[5].min = -radians(first_and_last);
  arm.limits[0].max = arm.limits[5].max = radians(first_and_last);
  return arm;
}

}  // namespace

TEST_CASE("every choice of whole turns within the limits is given") {
  // 10° and 370° − 360° …: within ±400° joint 1 at 10° may also stand at 370° and −350°.
  Joints values = Joints::Zero();
  values[0] = radians(10);
  const auto choices = whole_turns(with_limits(400, 170), values);
  // Joint 6 at 0°: −360°, 0°, 360°. Three times three.
  REQUIRE(choices.size() == 9);
  CHECK(degrees(choices.front()[0]) == Approx(-350));
  CHECK(degrees(choices.back()[0]) == Approx(370));
}

TEST_CASE("values that no turn brings within the limits give nothing") {
  Joints values = Joints::Zero();
  values[2] = radians(175);
  CHECK(whole_turns(with_limits(170, 170), values).empty());
}

TEST_CASE("limits themselves are within") {
  Joints values = Joints::Constant(radians(170));
  CHECK(whole_turns(with_limits(170, 170), values).size() == 1);
}

TEST_CASE("limits on sums cut choices out") {
  Arm arm = with_limits(400, 170);
  SumLimit limit;
  limit.coefficients << 1, 0, 0, 0, 0, 1;
  limit.min = radians(-10), limit.max = radians(10);
  arm.sum_limits = {limit};
  // Of nine choices only q1 + q6 = 0 remain: (−360, 360), (0, 0), (360, −360).
  CHECK(whole_turns(arm, Joints::Zero()).size() == 3);
}

TEST_CASE("with a coupling by half a turn of one joint goes with another") {
  Arm arm = with_limits(400, 400);
  arm.dh_from_values(5, 4) = 0.5;
  const Joints values = Joints::Constant(radians(30));
  const Pose pose = flange_in_base(arm, values);
  const auto choices = whole_turns(arm, values);
  REQUIRE_FALSE(choices.empty());
  for (const Joints& choice : choices) {
    const Pose same = flange_in_base(arm, choice);
    CHECK((same.matrix() - pose.matrix()).cwiseAbs().maxCoeff() < 1e-9);
  }
  // Joints 1 to 4 stand at 30°, −330° and 390°: three each. A turn of joint 5 adds half a DH turn to joint 6, which
  // −180° (or 180°) takes back: from 30° on, 30 − 360 k − 180 m; m = 0: −330, 30, 390; m = ±1: −150, 210.
  CHECK(choices.size() == 81u * (3 + 2 + 2));
}
