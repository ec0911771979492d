// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/roll_pitch_yaw.hpp"

#include <random>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("Roll, then pitch, then yaw about fixed axes") {
  // Roll brings y to z; yaw then brings x to y and leaves z (by hand).
  const Eigen::Matrix3d r = turned({pi / 2, 0, pi / 2});
  CHECK((r * Vector3d::UnitY()).isApprox(Vector3d::UnitZ(), 1e-15));
  CHECK((r * Vector3d::UnitX()).isApprox(Vector3d::UnitY(), 1e-15));
}

TEST_CASE("Any rotation comes back from its roll, pitch and yaw") {
  std::mt19937 random(5);
  std::normal_distribution<double> normal;
  for (int i = 0; i < 1000; ++i) {
    const Eigen::Matrix3d r = Eigen::Quaterniond(normal(random), normal(random), normal(random), normal(random))
                                  .normalized()
                                  .toRotationMatrix();
    CHECK((turned(roll_pitch_yaw(r)) - r).norm() < 1e-11);
  }
}

TEST_CASE("Where pitch is a right angle, roll is 0 and the rotation is the same") {
  for (const double pitch : {pi / 2, -pi / 2}) {
    const Eigen::Matrix3d r = turned({0.4, pitch, -1.1});
    CHECK(roll_pitch_yaw(r).x() == 0);
    CHECK((turned(roll_pitch_yaw(r)) - r).norm() < 1e-9);
  }
}
