// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path_measures.hpp"

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

Joints wrist_at(double joint5) {
  return radians(20) * Joints::Unit(3) + joint5 * Joints::Unit(4);
}

}  // namespace

TEST_CASE("a path that goes nowhere is measured where it stands") {
  const Arm arm = loader_arm();
  const Joints here = wrist_at(1);
  const PathMeasures measures = measure_path(arm, Path::joint(here, here));
  const Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, here));
  CHECK(measures.manipulability == manipulability(jacobian));
  CHECK(measures.singular_value == least_singular_value(jacobian, length_scale(arm)));
  CHECK(measures.limit_margin == limit_margin(arm, here));
}

TEST_CASE("a wrist drawn straight on the way is found to the last digits") {
  const Arm arm = loader_arm();
  // Joint 5 from -0.7 to 1.3: straight at 0.35 of the way.
  const PathMeasures measures = measure_path(arm, Path::joint(wrist_at(-0.7), wrist_at(1.3)));
  CHECK(measures.manipulability < 1e-8);
  CHECK(measures.singular_value < 1e-8);
  CHECK(measures.singular_s == Approx(0.35).margin(1e-7));
  CHECK(measures.at_singular[4] == Approx(0).margin(1e-6));
}

TEST_CASE("the least over the path is no more than at any of many instants, and is reached") {
  Random random(81);
  for (int i = 0; i < 40; ++i) {
    const Arm arm = random.one_in(2) ? loader_arm() : offset_wrist_arm();
    const Path path = Path::joint(random.joints(), random.joints());
    const PathMeasures measures = measure_path(arm, path);
    double least = 1e300, least_value = 1e300, margin = 1e300;
    for (int k = 0; k <= 3000; ++k) {
      const Joints values = path.on_chain(k / 3000.0);
      const Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, values));
      least = std::min(least, manipulability(jacobian));
      least_value = std::min(least_value, least_singular_value(jacobian, length_scale(arm)));
      margin = std::min(margin, limit_margin(arm, values));
    }
    CAPTURE(i);
    CHECK(measures.manipulability <= least + 1e-9);
    CHECK(measures.singular_value <= least_value + 1e-9);
    CHECK(measures.limit_margin == Approx(margin).margin(1e-12));
    const Jacobian there = flange_jacobian(arm, arm_frames(arm, measures.at_singular));
    CHECK(measures.singular_value == Approx(least_singular_value(there, length_scale(arm))).margin(1e-12));
  }
}

TEST_CASE("sums of joints count as limits, at either end") {
  Arm arm = loader_arm();
  arm.sum_limits = {{Joints::Unit(1) + Joints::Unit(2), -1, 0.5}};
  const PathMeasures measures =
      measure_path(arm, Path::joint(0.2 * Joints::Unit(1), 0.2 * Joints::Unit(1) + 0.2 * Joints::Unit(2)));
  CHECK(measures.limit_margin == Approx(0.1));
  CHECK(measures.at_limit[2] == Approx(0.2));
}
