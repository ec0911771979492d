// SPDX-License-Identifier: GPL-3.0-or-later
// A cycle to a pose that joints 2, 3, 4 and 6 of an invented arm hold while they turn: axis 6 is parallel to axes 2
// to 4.
#include <catch2/catch.hpp>

#include "kinematics/roll_pitch_yaw.hpp"
#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::string row(double a, double alpha, double d, double low, double high) {
  return fmt::format("  {{ a = {}, alpha = {}, d = {}, min = {}, max = {}, speed = 180, acceleration = 600 }},\n", a,
                     alpha, d, low, high);
}

/// Joint 6 turns further than the two links can follow; the others have these limits (deg) about where they can stand.
std::string arm_text(double slack) {
  return "format = 1\n[arm]\njoints = [\n" + row(0, 90, 150, -170, 170) + row(-400, 0, 0, 30 - slack, 30 + slack) +
         row(-350, 0, 0, 10 - slack, 10 + slack) + row(0, 90, 120, -40 - slack, -40 + slack) +
         row(0, -90, 100, -120, 120) + row(0, 0, 90, -175, 175) + "]\n[[tcp]]\nname = \"tool\"\n";
}

const Joints stood = in_degrees(90, 30, 10, -40, 0, 0);

std::string move_there(const Scene& scene, const std::string& near) {
  const Pose pose = flange_in_base(scene.cell.arm.arm, stood);
  const Vector3d at = pose.translation(), turn = roll_pitch_yaw(pose.linear());
  return fmt::format(
      "[[step]]\nname = \"there\"\nmove = \"joint\"\nto = {{ tcp = \"tool\", at = {{ xyz = [{:.12f}, {:.12f}, "
      "{:.12f}], "
      "turn = [{:.12f}, {:.12f}, {:.12f}] }}{} }}\n",
      at.x(), at.y(), at.z(), degrees(turn.x()), degrees(turn.y()), degrees(turn.z()), near);
}

Joints reached(double slack, const std::string& near) {
  const std::string begin = arm_text(slack) + cycle_from("90, 30, 10, -40, 20, 170");
  const Planned still(begin + joint_move("90, 30, 10, -40, 20, 170"));
  const Planned planned(begin + move_there(still.scene, near));
  const Joints values = planned.whole().stretches.back().motion.path.end();
  const Arm& arm = planned.scene.cell.arm.arm;
  CHECK(within_limits(arm, values));
  CHECK(apart(flange_in_base(arm, values), flange_in_base(arm, stood)) < 1e-6);
  return values;
}

}  // namespace

TEST_CASE("a pose held by a linkage is reached though joint 6 stands where the links can't close") {
  reached(140, "");
}

TEST_CASE("a pose held by a linkage is reached within limits that leave little of it") {
  reached(12, "");
  reached(0.5, "");
}

TEST_CASE("a pose held by a linkage is reached near what is asked") {
  const Joints near = in_degrees(91, 33, 8, -42, 1, 2);
  const Joints values = reached(60, ", near = [91, 33, 8, -42, 1, 2]");
  // derived: the joint values that the pose was taken from are 3 deg off at most, so the nearest is no further
  CHECK((values - near).cwiseAbs().maxCoeff() < radians(3) + 1e-9);
}
