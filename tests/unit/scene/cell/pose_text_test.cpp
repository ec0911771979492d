// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/pose_text.hpp"

#include <catch2/catch.hpp>

#include "kinematics/roll_pitch_yaw.hpp"

using namespace cellproof;

TEST_CASE("A pose is written as in the cell file, zeros that say nothing left out") {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(12.5, -0.001, 300);
  CHECK(pose_text(pose, {}) == "{ xyz = [12.5, 0, 300] }");
  pose.linear() = turned({pi, 0, radians(45.25)});
  CHECK(pose_text(pose, {}) == "{ xyz = [12.5, 0, 300], turn = [180, 0, 45.25] }");
}

TEST_CASE("What is written is within half a hundredth, and writing it again changes nothing") {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(1.23456, -7.89123, 0.005001);
  pose.linear() = turned({0.123456, -0.654321, 2.222222});
  const Pose written = as_written(pose);
  CHECK((written.translation() - pose.translation()).cwiseAbs().maxCoeff() <= 0.005);
  CHECK(pose_text(written, {}) == pose_text(pose, {}));
  CHECK(as_written(written).isApprox(written, 1e-14));
}

TEST_CASE("Joint values are written in degrees") {
  const Joints joints = (Joints() << radians(-60), radians(110.004), 0, pi, radians(-0.001), 1).finished();
  CHECK(joints_text(joints, {}) == "[-60, 110, 0, 180, 0, 57.3]");
  CHECK(degrees(as_written(joints)[5]) == Approx(57.3).epsilon(1e-13));
}

TEST_CASE("Where bare numbers of the file are inches or radians, the units are spelled out") {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(12.5, 0, 300);
  pose.linear() = turned({pi, 0, 0});
  CHECK(pose_text(pose, {"in", "deg", "lb"}) == "{ xyz = [\"12.5 mm\", \"0 mm\", \"300 mm\"], turn = [180, 0, 0] }");
  CHECK(joints_text(Joints::Zero(), {"mm", "rad", "kg"}).starts_with("[\"0 deg\", \"0 deg\""));
}
