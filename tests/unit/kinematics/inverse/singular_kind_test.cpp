// SPDX-License-Identifier: GPL-3.0-or-later
// Kinds of singular poses. For arms with a shoulder, an elbow and a wrist the determinant of the Jacobian is a product
// of three factors (derived; D. L. Pieper, 1968, for the decoupled arm): one of joint 5 alone, one of joint 3 alone and
// one that joint 2 can change. Where the determinant changes its sign as one of these joints turns by itself, the kind
// is known.
#include "kinematics/inverse/singular_kind.hpp"

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

double determinant(const Arm& arm, const Joints& values) {
  return flange_jacobian(arm, arm_frames(arm, values)).determinant();
}

/// Joint `j` (from 0) turned through its circle: the poses where the determinant changes its sign.
std::vector<Joints> crossings(const Arm& arm, Joints values, int j) {
  std::vector<Joints> found;
  const int pieces = 360;
  for (int i = 0; i < pieces; ++i) {
    double low = -pi + 2 * pi * i / pieces, high = low + 2 * pi / pieces;
    const auto at = [&](double angle) {
      values[j] = angle;
      return determinant(arm, values);
    };
    const double at_low = at(low);
    if ((at_low > 0) == (at(high) > 0)) continue;
    for (int k = 0; k < 60; ++k) {
      const double middle = (low + high) / 2;
      ((at(middle) > 0) == (at_low > 0) ? low : high) = middle;
    }
    values[j] = low;
    found.push_back(values);
  }
  return found;
}

void check_kinds(const Arm& arm) {
  Random random(31);
  const std::pair<int, const char*> kinds[] = {{1, "shoulder"}, {2, "elbow"}, {4, "wrist"}};
  int found[3] = {0, 0, 0};
  for (int round = 0; round < 40; ++round) {
    const Joints values = random.joints();
    if (std::abs(std::sin(arm.rows[4].theta + values[4])) < 0.2) continue;  // the wrist is near its own singular pose
    for (int k = 0; k < 3; ++k)
      for (const Joints& singular : crossings(arm, values, kinds[k].first)) {
        // Turning joint 3 moves the wrist, and so may meet the shoulder's singular pose as well.
        const SingularKind kind = singular_kind(arm, singular);
        if (k == 1 && kind.name == "shoulder") continue;
        CAPTURE(round, k, text_of(kind));
        CHECK(kind.name == kinds[k].second);
        ++found[k];
      }
  }
  for (const int count : found) CHECK(count > 20);
}

}  // namespace

TEST_CASE("an arm with a wrist whose axes meet is singular at shoulder, elbow or wrist") {
  check_kinds(loader_arm());
}

TEST_CASE("an arm with three parallel axes is singular at shoulder, elbow or wrist") {
  check_kinds(offset_wrist_arm());
}

TEST_CASE("at the wrist joints 4 and 6 turn against each other, whatever else the arm does") {
  const Arm arm = loader_arm();
  Joints values;
  values << 0.3, -0.5, 0.7, 1.1, 1e-4, -0.2;
  const SingularKind kind = singular_kind(arm, values);
  CHECK(kind.joints == std::vector<int>{4, 6});
  CHECK(text_of(kind) == "wrist, joints 4 and 6");
}

TEST_CASE("an arm of no such build names joints only") {
  Random random(8);
  const Arm arm = any_skewed_arm(random);
  Joints values;
  values << 0.3, -0.5, 0.7, 1.1, 0.9, -0.2;
  const auto singular = crossings(arm, values, 4);
  REQUIRE_FALSE(singular.empty());
  const SingularKind kind = singular_kind(arm, singular.front());
  CHECK(kind.name.empty());
  CHECK(text_of(kind).find("joint") == 0);
}
