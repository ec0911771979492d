// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/shortfall.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;
using namespace cellproof::tests;

namespace {

ReachRequest at(double x, double y, double z) {
  ReachRequest request;
  request.tool_in_base.translation() << x, y, z;
  return request;
}

/// Links of 500 and 300 mm that turn freely about the origin and about the elbow; the hand's centre is the flange.
Arm ball_and_elbow() {
  Arm arm = loader_arm();
  arm.rows = {{{0, pi / 2, 0, 0},
               {500, 0, 0, 0},
               {0, pi / 2, 0, pi / 2},
               {0, -pi / 2, 300, 0},
               {0, pi / 2, 0, 0},
               {0, 0, 0, 0}}};
  return arm;
}

}  // namespace

TEST_CASE("a pose that the arm takes falls short by nothing") {
  const Arm arm = loader_arm();
  ReachRequest request;
  request.tool_in_flange.translation() << 10, 20, 150;
  request.tool_in_base = flange_in_base(arm, in_degrees(10, 20, -60, 30, 50, -40)) * request.tool_in_flange;
  const Shortfall none = shortfall(arm, request);
  CHECK(none.stop == ReachStop::nothing);
  CHECK(none.nearest.position_mm < 1e-3);
  CHECK(none.nearest.angle < 1e-5);
}

TEST_CASE("a point too far away is short by its distance less the arm's two links") {
  // derived: 1000 − (500 + 300); any turn can be had with the wrist's centre at the flange
  const Shortfall far = shortfall(ball_and_elbow(), at(600, 0, 800));
  CHECK(far.stop == ReachStop::outside_reach);
  CHECK(far.nearest.position_mm == Approx(200).margin(1e-3));
  CHECK(far.nearest.angle < 1e-4);
  CHECK((far.nearest.tool_in_base.translation() - Vector3d(480, 0, 640)).norm() < 0.1);
  CHECK(described(far).find("outside the arm's reach") != std::string::npos);
  CHECK(described(far).find("200.00 mm") != std::string::npos);
}

TEST_CASE("a point too near is short by the difference of the two links less its distance") {
  // derived: (500 − 300) − 50
  const Shortfall near = shortfall(ball_and_elbow(), at(30, 0, 40));
  CHECK(near.stop == ReachStop::dead_zone);
  CHECK(near.nearest.position_mm == Approx(150).margin(1e-3));
  CHECK(near.nearest.angle < 1e-4);
}

TEST_CASE("a joint's limit is named with what it lacks") {
  Arm arm = loader_arm();
  const Joints values = in_degrees(60, 20, -60, 30, 50, -40);
  const Pose pose = flange_in_base(arm, values);
  // Joint 1 at 60 or at −120 reaches it (the second by bending over backwards); allowed are −20 to 20.
  arm.limits[0].min = radians(-20);
  arm.limits[0].max = radians(20);
  ReachRequest request;
  request.tool_in_base = pose;
  const Shortfall stopped = shortfall(arm, request);
  CHECK(stopped.stop == ReachStop::limit);
  CHECK(stopped.joint == 1);
  CHECK(degrees(stopped.over_limit) == Approx(40).margin(1e-6));
  CHECK(within_limits(arm, stopped.nearest.values));
  CHECK(stopped.nearest.position_mm + stopped.nearest.angle > 0.01);
  CHECK(described(stopped).find("joint 1 would have to go 40.00 deg past its limit") != std::string::npos);
}

TEST_CASE("a limit on a sum of joints is kept by the nearest pose") {
  Arm arm = loader_arm();
  SumLimit sum;
  sum.coefficients << 0, 1, 1, 0, 0, 0;
  sum.min = radians(-10);
  sum.max = radians(10);
  arm.sum_limits.push_back(sum);
  ReachRequest request;
  request.tool_in_base = flange_in_base(arm, in_degrees(60, 20, -60, 30, 50, -40));
  const Shortfall stopped = shortfall(arm, request);
  CHECK(limit_margin(arm, stopped.nearest.values) > -1e-4);
}

TEST_CASE("a point that is reached with another turn only says by how much the turn falls short") {
  // At the end of its reach the arm's hand points outwards; asked to point back, it is half a turn off.
  const Arm arm = loader_arm();
  Joints stretched = in_degrees(20, -60, 0, 0, 0, 0);
  stretched[2] = std::atan2(640.0, 120.0);
  ReachRequest request;
  request.tool_in_base = flange_in_base(arm, stretched);
  request.tool_in_base.translation() -= 1.0 * request.tool_in_base.linear().col(2);
  request.tool_in_base.linear() = request.tool_in_base.linear() * Eigen::AngleAxisd(pi, Vector3d::UnitX());
  const Shortfall turned = shortfall(arm, request);
  CHECK(turned.stop == ReachStop::turn);
  CHECK(turned.nearest.position_mm < 1e-2);
  // derived: so near to the end of the reach the hand can lean by little more than 20 deg from where it points
  CHECK(degrees(turned.nearest.angle) > 150);
  CHECK(degrees(turned.nearest.angle) < 180);
}

TEST_CASE("nothing among many poses is nearer than the nearest") {
  Random random(81);
  int nearer = 0;
  for (int i = 0; i < 12; ++i) {
    Arm arm = random.one_in(2) ? any_spherical_arm(random) : any_skewed_arm(random);
    for (JointLimits& limit : arm.limits) limit = {-random.between(0.2, 3), random.between(0.2, 3), 1, 1};
    ReachRequest request;
    request.tool_in_base = any_pose(random);
    request.tool_in_base.translation() *= 8;
    const NearestPose best = nearest_pose(arm, request, WithinLimits::yes);
    CHECK(within_limits(arm, best.values));
    for (int tried = 0; tried < 20000; ++tried) {
      Joints values;
      for (std::size_t j = 0; j < 6; ++j)
        values[static_cast<Eigen::Index>(j)] = random.between(arm.limits[j].min, arm.limits[j].max);
      const Vector3d there = flange_in_base(arm, values).translation();
      nearer += (there - request.tool_in_base.translation()).norm() < best.position_mm - 1e-3;
    }
  }
  CHECK(nearer == 0);
}

TEST_CASE("the nearest pose is the same each time") {
  const NearestPose once = nearest_pose(loader_arm(), at(2000, 300, 100), WithinLimits::yes);
  const NearestPose again = nearest_pose(loader_arm(), at(2000, 300, 100), WithinLimits::yes);
  CHECK(once.values == again.values);
}
