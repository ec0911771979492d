// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/motion_bounds.hpp"

#include <catch2/catch.hpp>

#include "kinematics/motion/path.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

CarriedHull box_on(int link, const Vector3d& centre, const Vector3d& half) {
  CarriedHull hull;
  hull.link = link;
  for (std::size_t i = 0; i < 8; ++i) {
    hull.corners_in_link[i] = centre + Vector3d((i & 1) ? half.x() : -half.x(), (i & 2) ? half.y() : -half.y(),
                                                (i & 4) ? half.z() : -half.z());
  }
  return hull;
}

/// A point of the hull: any mean of its corners, now and then a corner itself.
Vector3d point_in(const CarriedHull& hull, Random& random) {
  if (random.one_in(3)) return hull.corners_in_link[static_cast<std::size_t>(random.between(0, 7.999))];
  Vector3d sum = Vector3d::Zero();
  double weights = 0;
  for (const Vector3d& corner : hull.corners_in_link) {
    const double weight = random.between(0, 1);
    sum += weight * corner;
    weights += weight;
  }
  return sum / weights;
}

/// Length of the point's way as seen from a link, by 400 chords: never more than the true length.
double sampled_length(const Arm& arm, const Path& path, int link, int seen_from, const Vector3d& point) {
  double length = 0;
  Vector3d last = Vector3d::Zero();
  for (int i = 0; i <= 400; ++i) {
    const ArmFrames frames = arm_frames(arm, path.on_chain(i / 400.0));
    const Vector3d place = frames.link_in_base[seen_from].inverse() * (frames.link_in_base[link] * point);
    if (i > 0) length += (place - last).norm();
    last = place;
  }
  return length;
}

}  // namespace

TEST_CASE("no point of a hull travels further than its bound") {
  Random random(41);
  for (int i = 0; i < 300; ++i) {
    const Arm arm = any_arm(random);
    const Joints from = random.joints(), to = from + random.between(0, 1) * random.joints();
    const Path path = Path::joint(from, to);
    const int link = 1 + static_cast<int>(random.between(0, 5.999));
    const int fixed = random.one_in(2) ? 0 : static_cast<int>(random.between(0, link + 0.999));
    const CarriedHull hull = box_on(link, random.point(200), random.point(150).cwiseAbs());
    // The instant that the frames are of may be any.
    const ArmFrames frames = arm_frames(arm, path.on_chain(random.between(0, 1)));
    const double bound = motion_bound(arm, frames, hull, path.travel(0, 1), fixed);
    for (int k = 0; k < 5; ++k) {
      CHECK(sampled_length(arm, path, link, fixed, point_in(hull, random)) <= bound + 1e-9);
    }
  }
}

TEST_CASE("one joint's move is bounded tightly") {
  Random random(42);
  for (int i = 0; i < 60; ++i) {
    const Arm arm = loader_arm();
    const Joints from = random.joints();
    const int joint = static_cast<int>(random.between(0, 5.999));
    const Path path = Path::joint(from, from + random.between(0.05, 2) * Joints::Unit(joint));
    const CarriedHull hull = box_on(6, {0, 0, 150}, {60, 40, 120});
    const double bound = motion_bound(arm, arm_frames(arm, from), hull, path.travel(0, 1));
    double longest = 0;
    for (const Vector3d& corner : hull.corners_in_link) {
      longest = std::max(longest, sampled_length(arm, path, 6, 0, corner));
    }
    CHECK(bound <= 1.001 * longest);
  }
}

TEST_CASE("a short move of all joints is bounded to within a few times the way") {
  Random random(43);
  double bounds = 0, ways = 0;
  for (int i = 0; i < 60; ++i) {
    const Arm arm = loader_arm();
    const Joints from = random.joints();
    const Path path = Path::joint(from, from + 0.01 * random.joints());
    const CarriedHull hull = box_on(6, {0, 0, 150}, {60, 40, 120});
    bounds += motion_bound(arm, arm_frames(arm, from), hull, path.travel(0, 1));
    double longest = 0;
    for (const Vector3d& corner : hull.corners_in_link) {
      longest = std::max(longest, sampled_length(arm, path, 6, 0, corner));
    }
    ways += longest;
  }
  // The joints partly undo each other, which no bound by sums can see.
  CHECK(bounds <= 2.5 * ways);
}

TEST_CASE("what no joint moves does not move") {
  const Arm arm = loader_arm();
  const ArmFrames frames = arm_frames(arm, Joints::Constant(0.3));
  CHECK(motion_bound(arm, frames, box_on(0, {500, 0, 0}, {10, 10, 10}), Joints::Ones()) == 0);
  CHECK(motion_bound(arm, frames, box_on(6, {0, 0, 100}, {10, 10, 10}), Joints::Zero()) == 0);
  CHECK(motion_bound(arm, frames, box_on(4, {0, 0, 100}, {10, 10, 10}), Joints::Ones(), 4) == 0);
}

TEST_CASE("a hull below the fixed link is a bug of the caller") {
  const Arm arm = loader_arm();
  const ArmFrames frames = arm_frames(arm, Joints::Zero());
  CHECK_THROWS_AS(motion_bound(arm, frames, box_on(2, {0, 0, 0}, {1, 1, 1}), Joints::Ones(), 4), std::invalid_argument);
}
