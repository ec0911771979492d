// SPDX-License-Identifier: GPL-3.0-or-later
// Trapezoids and slerp beside published formulas.
#include <cmath>

#include <catch2/catch.hpp>

#include "kinematics/motion/motion.hpp"

using namespace cellproof;

namespace {

Arm with_limits(double speed, double acceleration) {
  Arm arm;
  for (JointLimits& limit : arm.limits) limit = {-10, 10, speed, acceleration};
  return arm;
}

}  // namespace

TEST_CASE("half a turn in one second at 6 pi rad per s squared") {
  // B. Siciliano et al., "Robotics: Modelling, Planning and Control", 2009, §4.2.1 (formula from memory, elementary);
  // numbers derived: blend 0.211324865405 s, cruise 3.983379868067 rad/s.
  constexpr double cruise = 3.983379868067, acceleration = 6 * pi, blend = 0.211324865405;
  const Motion motion = joint_motion(with_limits(cruise, acceleration), Joints::Zero(), pi * Joints::Unit(2), {});
  CHECK(motion.duration() == Approx(1).epsilon(1e-11));
  const Arm arm = with_limits(cruise, acceleration);
  CHECK(motion_at(arm, motion, blend - 1e-6).accelerations[2] == Approx(acceleration));
  CHECK(motion_at(arm, motion, blend + 1e-6).accelerations[2] == 0);
  CHECK(motion_at(arm, motion, blend + 1e-6).speeds[2] == Approx(cruise).epsilon(1e-11));
}

TEST_CASE("a trapezoid's time follows the two printed cases") {
  // T = h/v + v/a if h a >= v², else 2 √(h/a) (Siciliano et al., as above).
  for (const double h : {0.01, 0.3, 2.0}) {
    for (const double v : {0.1, 1.0, 3.0}) {
      for (const double a : {0.2, 1.0, 20.0}) {
        const double expected = h * a >= v * v ? h / v + v / a : 2 * std::sqrt(h / a);
        const Motion motion = joint_motion(with_limits(v, a), Joints::Zero(), h * Joints::Unit(0), {});
        CHECK(motion.duration() == Approx(expected).epsilon(1e-13));
      }
    }
  }
}

TEST_CASE("a quarter of the way by slerp") {
  // K. Shoemake, SIGGRAPH 1985; number derived: from (1, 0, 0, 0) to (cos 45°, 0, 0, sin 45°).
  LinearTarget line;
  line.end_in_base.linear() = Eigen::Quaterniond(std::cos(pi / 4), 0, 0, std::sin(pi / 4)).toRotationMatrix();
  Eigen::Quaterniond quarter(line.at(0.25).linear());
  CHECK(quarter.w() == Approx(0.980785280403).epsilon(1e-12));
  CHECK(quarter.z() == Approx(0.195090322016).epsilon(1e-11));
  CHECK(std::abs(quarter.x()) + std::abs(quarter.y()) < 1e-15);
}

TEST_CASE("slerp keeps to the short way on the sphere of quaternions") {
  LinearTarget line;
  line.start_in_base.linear() = Eigen::AngleAxisd(1.1, Vector3d(1, 2, -1).normalized()).toRotationMatrix();
  line.end_in_base.linear() = Eigen::AngleAxisd(-2.3, Vector3d(0.3, -1, 2).normalized()).toRotationMatrix();
  const Eigen::Quaterniond from(line.start_in_base.linear()), to(line.end_in_base.linear());
  for (const double s : {0.0, 0.1, 0.5, 0.77, 1.0}) {
    CHECK(from.slerp(s, to).angularDistance(Eigen::Quaterniond(line.at(s).linear())) < 1e-7);
    CHECK((from.slerp(s, to).toRotationMatrix() - line.at(s).linear()).norm() < 1e-14);
  }
}
