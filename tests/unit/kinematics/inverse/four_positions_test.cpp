// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/four_positions.hpp"

#include <cmath>

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

/// By elimination; of DH angles, lengths over the arm's.
double determinant_by_elimination(const Arm& arm, const Joints& values, double length) {
  Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, values)) * arm.dh_from_values.inverse();
  jacobian.topRows<3>() /= length;
  return std::abs(jacobian.determinant());
}

/// Values up to `furthest` half turns.
void check_against_one_by_one(const Arm& arm, Random& random, double furthest, double within) {
  const double length = length_scale(arm);
  std::array<Joints, 4> values;
  for (Joints& one : values) one = furthest * random.joints();
  const Pose wanted = random.one_in(2) ? flange_in_base(arm, values[2]) : any_pose(random);
  const FourPositions four = four_positions(arm, arm_structure(arm), length, values, wanted);
  for (std::size_t i = 0; i < 4; ++i) {
    const Pose flange = flange_in_base(arm, values[i]);
    const double position_error = (flange.translation() - wanted.translation()).norm();
    CHECK(std::abs(four.position_errors[i] - position_error) < within * (length + position_error));
    CHECK(std::abs(four.rotation_errors[i] - (flange.linear() - wanted.linear()).norm()) < within);
    CHECK(std::abs(four.determinants[i] - determinant_by_elimination(arm, values[i], length)) < within);
  }
}

}  // namespace

TEST_CASE("four positions at once are as one by one") {
  Random random(31);
  for (int i = 0; i < 300; ++i) {
    check_against_one_by_one(any_arm(random), random, 1, 1e-12);
    check_against_one_by_one(any_meeting_arm(random, 1 + static_cast<std::size_t>(i % 4)), random, 1, 1e-12);
    check_against_one_by_one(any_parallel_arm(random, 1 + static_cast<std::size_t>(i % 4)), random, 1, 1e-12);
  }
}

TEST_CASE("four positions far beyond the quick sines are as one by one") {
  // Of angles of 1e5 rad the last eleven digits are what is left, in either way.
  Random random(32);
  for (int i = 0; i < 20; ++i) check_against_one_by_one(any_arm(random), random, 1e5, 1e-9);
}
