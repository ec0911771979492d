// SPDX-License-Identifier: GPL-3.0-or-later
// Places on a continuum of joint solutions that limits and a wish leave. The arm is invented; with joint 5 at zero its
// axis 6 is parallel to axes 2 to 4, and these four turn as a linkage of four bars with the flange in its place.
#include "kinematics/inverse/stances.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/shortfall.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;
using namespace cellproof::tests;

namespace {

Arm linkage_arm() {
  Arm arm;
  arm.rows = {{{0, pi / 2, 150, 0},
               {-400, 0, 0, 0},
               {-350, 0, 0, 0},
               {0, pi / 2, 120, 0},
               {0, -pi / 2, 100, 0},
               {0, 0, 90, 0}}};
  for (JointLimits& limit : arm.limits) limit = {-pi, pi, radians(180), radians(600)};
  return arm;
}

const Joints stood = in_degrees(90, 30, 10, -40, 0, 0);

/// derived: with joint 6 at `sixth`, axis 4 is at most 400 + 350 mm and at least 400 - 350 mm from axis 2.
bool closes(const Arm& arm, const Pose& pose, double sixth) {
  Joints values = Joints::Zero();
  values[5] = sixth;
  const ArmFrames hand = arm_frames(arm, values);
  const Vector3d on_axis4 = pose * (hand.flange_in_base.inverse() * hand.link_in_base[3]).translation();
  const JointAxis axis2 = joint_axes(arm, arm_frames(arm, stood))[1];
  const double span = axis2.direction.cross(on_axis4 - axis2.point).norm();
  return span <= 750 && span >= 50;
}

/// The values within limits that the stances offer, whole turns included.
std::vector<Joints> offered(const Arm& arm, const Pose& pose, const StanceWish& wish) {
  std::vector<Joints> all;
  const auto solutions = stances(arm, pose, wish);
  REQUIRE(solutions);
  for (const Solution& solution : solutions->all)
    for (const Joints& values : whole_turns(arm, solution.values)) all.push_back(values);
  return all;
}

double nearest_to(const Joints& wish, const std::vector<Joints>& all) {
  double least = std::numeric_limits<double>::infinity();
  for (const Joints& values : all) least = std::min(least, (values - wish).cwiseAbs().maxCoeff());
  return least;
}

}  // namespace

TEST_CASE("where a free joint's links can't close, it goes to the nearest place where they do") {
  const Arm arm = linkage_arm();
  const Pose pose = flange_in_base(arm, stood);
  for (const double sixth : {170.0, -150.0, 120.0, 0.0}) {
    CAPTURE(sixth);
    const Joints reference = in_degrees(0, 0, 0, 0, 0, sixth);
    const auto solutions = inverse(arm, pose, reference);
    REQUIRE(solutions);
    CHECK(solutions->singular);
    double nearest = 2 * pi;
    for (const Solution& solution : solutions->all)
      if (solution.double_root)
        nearest = std::min(nearest, std::abs(std::remainder(solution.values[5] - radians(sixth), 2 * pi)));
    double least = 2 * pi;
    for (int i = 0; i < 36000; ++i) {
      const double turn = 2 * pi * i / 36000;
      if (closes(arm, pose, turn)) least = std::min(least, std::abs(std::remainder(turn - radians(sixth), 2 * pi)));
    }
    CHECK(nearest == Approx(least).margin(radians(0.02)));
  }
}

TEST_CASE("of a continuum the place within the limits is found though it is the only one") {
  Arm arm = linkage_arm();
  const Pose pose = flange_in_base(arm, stood);
  for (std::size_t j = 1; j < 6; ++j) {
    const double value = stood[static_cast<Eigen::Index>(j)];
    arm.limits[j].min = arm.limits[j].max = value;
  }
  const auto all = offered(arm, pose, {in_degrees(0, 0, 0, 0, 0, 170), std::nullopt});
  CHECK(nearest_to(stood, all) < 1e-6);
  const Shortfall none = shortfall(arm, {Pose::Identity(), pose});
  CHECK(none.stop == ReachStop::nothing);
}

TEST_CASE("of a continuum the place nearest to the wish is found") {
  const Arm arm = linkage_arm();
  const Pose pose = flange_in_base(arm, stood);
  const Joints near = in_degrees(92, 35, 12, -44, 3, 1);
  const double offer = nearest_to(near, offered(arm, pose, {Joints::Zero(), near}));
  // Nothing among many places is nearer: with joint 6 at every hundredth of a degree about there.
  double least = 2 * pi;
  for (int i = -4000; i <= 4000; ++i) {
    const auto solutions = inverse(arm, pose, in_degrees(0, 0, 0, 0, 0, i / 100.0));
    REQUIRE(solutions);
    for (const Solution& solution : solutions->all)
      for (const Joints& values : whole_turns(arm, solution.values))
        least = std::min(least, (values - near).cwiseAbs().maxCoeff());
  }
  CHECK(offer <= least + 1e-6);
  CHECK(offer < (stood - near).cwiseAbs().maxCoeff() + 1e-9);
}

TEST_CASE("limits that no place of a continuum keeps are told as limits") {
  Arm arm = linkage_arm();
  const Pose pose = flange_in_base(arm, stood);
  arm.limits[0] = {radians(-20), radians(20), 1, 1};  // joint 1 is at 90 all along it, and at -67.9 in the others
  CHECK(offered(arm, pose, {}).empty());
  const Shortfall stopped = shortfall(arm, {Pose::Identity(), pose});
  CHECK(stopped.stop == ReachStop::limit);
  CHECK(stopped.joint == 1);
}

TEST_CASE("wherever the limits of an arm with a continuum are drawn about it, it finds a place within them") {
  Random random(97);
  int missed = 0;
  for (int i = 0; i < 60; ++i) {
    Arm arm = linkage_arm();
    const Joints values = in_degrees(random.between(-170, 170), random.between(-170, 170), random.between(20, 160),
                                     random.between(-170, 170), 0, random.between(-170, 170));
    const Pose pose = flange_in_base(arm, values);
    for (std::size_t j = 0; j < 6; ++j) {
      const double value = values[static_cast<Eigen::Index>(j)];
      arm.limits[j].min = value - (random.one_in(3) ? 0 : random.between(0, 0.3));
      arm.limits[j].max = value + (random.one_in(3) ? 0 : random.between(0, 0.3));
    }
    missed += offered(arm, pose, {random.joints(), std::nullopt}).empty();
  }
  CHECK(missed == 0);
}
