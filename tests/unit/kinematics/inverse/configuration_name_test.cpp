// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/configuration_name.hpp"

#include <set>

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;
using namespace cellproof::tests;

namespace {

/// An invented arm whose plane stands 80 mm beside axis 1.
Arm shouldered_arm() {
  Arm arm = loader_arm();
  arm.rows[0].a = 0;
  arm.rows[1].d = 80;
  return arm;
}

double determinant(const Arm& arm, const Joints& values) {
  return flange_jacobian(arm, arm_frames(arm, values)).determinant();
}

}  // namespace

TEST_CASE("the eight solutions of a pose have eight names") {
  const std::vector<std::pair<Arm, Joints>> poses = {{loader_arm(), in_degrees(10, 20, -60, 30, 50, -40)},
                                                     {shouldered_arm(), in_degrees(10, 20, -60, 30, 50, -40)},
                                                     {offset_wrist_arm(), in_degrees(10, -100, 80, -70, 60, 20)}};
  for (const auto& [arm, values] : poses) {
    const auto solutions = inverse(arm, flange_in_base(arm, values));
    REQUIRE(solutions->all.size() == 8);
    std::set<std::string> names;
    for (const Solution& solution : solutions->all) names.insert(configuration_name(arm, solution.values));
    CHECK(names.size() == 8);
  }
}

TEST_CASE("names say what one sees") {
  // Joint 1 at zero, the loader arm works along +x. Its elbow stands up with the upper arm raised (joint 2 at zero
  // points it up, its theta being 90) and the forearm forward.
  const Arm arm = loader_arm();
  const Joints reaching = in_degrees(0, -30, 10, 0, 40, 0);
  const ArmFrames frames = arm_frames(arm, reaching);
  const Vector3d elbow = frames.link_in_base[2].translation(), wrist = frames.link_in_base[4].translation();
  const Vector3d shoulder = frames.link_in_base[1].translation();
  REQUIRE(wrist.x() > shoulder.x());
  const double line_there =
      shoulder.z() + (wrist.z() - shoulder.z()) * (elbow.x() - shoulder.x()) / (wrist.x() - shoulder.x());
  const std::string seen = elbow.z() > line_there ? "elbow up" : "elbow down";
  CHECK(configuration_name(arm, reaching).find(seen) != std::string::npos);
  CHECK(configuration_name(arm, reaching).find("wrist not flipped") != std::string::npos);
  CHECK(configuration_name(arm, in_degrees(0, -30, 10, 180, -40, 180)).find("wrist flipped") != std::string::npos);
}

TEST_CASE("left and right are where the arm's plane is, seen from axis 1 towards the wrist") {
  const Arm arm = shouldered_arm();
  Random random(91);
  for (int i = 0; i < 200; ++i) {
    const Joints values = random.joints();
    const ArmFrames frames = arm_frames(arm, values);
    const Vector3d wrist = frames.link_in_base[4].translation(), shoulder = frames.link_in_base[2].translation();
    // The plane's nearest point to axis 1: link 1's origin moved along axis 2 by the offset.
    const Vector3d beside = 80 * frames.link_in_base[1].linear().col(2);
    const double side = wrist.head<2>().x() * beside.y() - wrist.y() * beside.x();
    if (std::abs(side) < 1 || shoulder.norm() == 0) continue;
    const std::string seen = side > 0 ? "shoulder left" : "shoulder right";
    CHECK(configuration_name(arm, values).find(seen) == 0);
  }
}

TEST_CASE("a name lasts until the arm passes a singularity") {
  Random random(92);
  for (const Arm& arm : {loader_arm(), shouldered_arm(), offset_wrist_arm()}) {
    int changed_alone = 0, changes = 0;
    Joints values = random.joints(), towards = random.joints();
    for (int step = 0; step < 20000; ++step) {
      if (step % 200 == 0) towards = random.joints();
      const Joints next = values + 0.005 * (towards - values).normalized();
      const std::string before = configuration_name(arm, values), after = configuration_name(arm, next);
      if (before != after) {
        ++changes;
        // A singularity lies on this short way: the determinant changes sign on it, or all but vanishes at its ends.
        const double at_start = determinant(arm, values), at_end = determinant(arm, next);
        const double least = std::min(std::abs(at_start), std::abs(at_end));
        changed_alone += at_start * at_end > 0 && least > 1e6;
      }
      values = next;
    }
    CHECK(changes > 10);
    CHECK(changed_alone == 0);
  }
}

TEST_CASE("arms without such parts have no such names") {
  Arm skewed = loader_arm();
  skewed.rows[4].a = 50;
  CHECK(configuration_name(skewed, Joints::Zero()).empty());
  Arm wrist_only = loader_arm();
  wrist_only.rows[1].alpha = 0.3;
  CHECK(configuration_name(wrist_only, in_degrees(0, 0, 0, 0, 30, 0)) == "wrist not flipped");
}
