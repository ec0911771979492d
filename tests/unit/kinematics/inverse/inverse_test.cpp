// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/inverse.hpp"

#include <algorithm>
#include <cstdlib>

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/arm_structure.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;
using namespace cellproof::tests;

namespace {

/// The tenth that every run makes, or the whole with CELLPROOF_LONG in the environment.
long cases() {
  return std::getenv("CELLPROOF_LONG") != nullptr ? 100000 : 10000;
}

double scaled_sigma(const Arm& arm, const ArmFrames& frames) {
  return least_singular_value(flange_jacobian(arm, frames), length_scale(arm));
}

/// |R − R'|, which is √2 times the angle between them when small.
double rotation_gap(const Pose& a, const Pose& b) {
  return (a.linear() - b.linear()).norm();
}

struct Tally {
  long missed = 0, off = 0, repeated = 0, out_of_range = 0;
};

void judge(const Arm& arm, const Pose& pose, const Joints& known, Tally& tally) {
  const auto solutions = inverse(arm, pose);
  bool found = false;
  for (const Solution& solution : solutions->all) {
    found = found || turns_apart(solution.values, known) < radians(1e-4);
    const Pose reached = flange_in_base(arm, solution.values);
    const bool there = (reached.translation() - pose.translation()).norm() < 1e-6 && rotation_gap(reached, pose) < 1e-9;
    tally.off += there ? 0 : 1;
    const auto same = std::count_if(solutions->all.begin(), solutions->all.end(), [&](const Solution& other) {
      return turns_apart(solution.values, other.values) < radians(1e-4);
    });
    tally.repeated += same - 1;
    tally.out_of_range += solution.values.maxCoeff() <= pi && solution.values.minCoeff() > -pi ? 0 : 1;
  }
  tally.missed += found ? 0 : 1;
}

/// The oracle is the joint vector that a pose was made from.
template <typename AnyArm>
Tally judge_many(AnyArm any_arm_of_kind, ArmStructure kind, unsigned start) {
  Random random(start);
  Tally tally;
  for (long tried = 0; tried < cases();) {
    const Arm arm = any_arm_of_kind(random);
    const Joints values = random.joints();
    if (arm_structure(arm) != kind || !(length_scale(arm) > 0)) continue;
    const ArmFrames frames = arm_frames(arm, values);
    if (scaled_sigma(arm, frames) < 1e-5) continue;
    judge(arm, frames.flange_in_base, values, tally);
    ++tried;
  }
  return tally;
}

void check_faultless(const Tally& tally) {
  CHECK(tally.missed == 0);
  CHECK(tally.off == 0);
  CHECK(tally.repeated == 0);
  CHECK(tally.out_of_range == 0);
}

bool among(const Solutions& solutions, const Joints& values, double within) {
  return std::any_of(solutions.all.begin(), solutions.all.end(),
                     [&](const Solution& s) { return turns_apart(s.values, values) < within; });
}

}  // namespace

TEST_CASE("no solution of an arm with three axes through a point is missed, wherever they are") {
  const int first = GENERATE(1, 2, 3, 4);
  CAPTURE(first);
  const auto any = [&](Random& random) { return any_meeting_arm(random, static_cast<std::size_t>(first)); };
  check_faultless(judge_many(any, {AxisTriple::meeting, first}, 10 + static_cast<unsigned>(first)));
}

TEST_CASE("no solution of an arm with three parallel axes is missed, wherever they are") {
  const int first = GENERATE(1, 2, 3, 4);
  CAPTURE(first);
  const auto any = [&](Random& random) { return any_parallel_arm(random, static_cast<std::size_t>(first)); };
  check_faultless(judge_many(any, {AxisTriple::parallel, first}, 20 + static_cast<unsigned>(first)));
}

TEST_CASE("no solution of an arm without any such axes is missed") {
  check_faultless(judge_many(any_skewed_arm, {}, 31));
}

TEST_CASE("no solution is missed where lengths are zero and tilts are quarter turns") {
  check_faultless(judge_many(any_arm, {}, 32));
}

TEST_CASE("solutions come in the usual eights") {
  const Joints near_the_middle = in_degrees(10, 20, -60, 30, 50, -40);
  CHECK(inverse(loader_arm(), flange_in_base(loader_arm(), near_the_middle))->all.size() == 8);
  const Joints bent = in_degrees(10, -100, 80, -70, 60, 20);
  CHECK(inverse(offset_wrist_arm(), flange_in_base(offset_wrist_arm(), bent))->all.size() == 8);
}

TEST_CASE("joints at half turns are found like any other") {
  // Half-angle tangents are infinite there.
  for (const Arm& arm : {loader_arm(), offset_wrist_arm()}) {
    for (int joint = 0; joint < 6; ++joint) {
      Joints values = in_degrees(20, -70, 100, 30, 50, 10);
      values[joint] = pi;
      // With joint 5 there, axes 4 and 6 coincide; the reference picks these values from the continuum.
      const auto solutions = inverse(arm, flange_in_base(arm, values), values);
      CAPTURE(joint);
      CHECK(among(*solutions, values, radians(1e-3)));
    }
  }
}

TEST_CASE("a straight wrist is a continuum with the reference's fourth joint") {
  const Arm arm = loader_arm();
  const Joints values = in_degrees(20, 10, -50, 40, 0, 30), reference = in_degrees(0, 0, 0, 25, 0, 0);
  const auto solutions = inverse(arm, flange_in_base(arm, values), reference);
  REQUIRE(solutions->singular);
  CHECK(among(*solutions, in_degrees(20, 10, -50, 25, 0, 45), 1e-8));
}

TEST_CASE("the wrist of an offset arm is free where axes 4 and 6 are parallel") {
  const Arm arm = offset_wrist_arm();
  const Joints values = in_degrees(20, -100, 80, -70, 0, 30), reference = in_degrees(0, 0, 0, 0, 0, 12);
  const auto solutions = inverse(arm, flange_in_base(arm, values), reference);
  REQUIRE(solutions->singular);
  const bool kept = std::any_of(solutions->all.begin(), solutions->all.end(), [](const Solution& s) {
    return std::abs(s.values[5] - radians(12)) < 1e-9 && s.position_error_mm < 1e-9;
  });
  CHECK(kept);
}

TEST_CASE("a wrist centre on axis 1 leaves the first joint to the reference") {
  // Without offsets at shoulder and elbow the centre is above the base when upper arm and forearm point straight up.
  Arm arm = loader_arm();
  arm.rows[0].a = 0;
  arm.rows[2].a = 0;
  const Joints values = in_degrees(20, 0, 90, 40, 50, 30), reference = in_degrees(-35, 0, 0, 0, 0, 0);
  const ArmFrames frames = arm_frames(arm, values);
  REQUIRE(frames.link_in_base[4].translation().head<2>().norm() < 1e-9);
  const auto solutions = inverse(arm, frames.flange_in_base, reference);
  REQUIRE(solutions->singular);
  for (const Solution& solution : solutions->all) {
    CHECK(solution.values[0] == Approx(radians(-35)));
    CHECK(solution.position_error_mm < 1e-6);
  }
}

TEST_CASE("a stretched elbow is one double solution") {
  const Arm arm = loader_arm();
  // Straight when link 3's offset and the forearm line up with the upper arm.
  const double straight = std::atan2(640.0, 120.0);
  Joints values = in_degrees(20, 30, 0, 40, 50, 30);
  values[2] = straight;
  const auto solutions = inverse(arm, flange_in_base(arm, values));
  const auto near = std::count_if(solutions->all.begin(), solutions->all.end(), [&](const Solution& s) {
    return turns_apart(s.values, values) < radians(1e-3) && s.double_root;
  });
  CHECK(near == 1);
}

TEST_CASE("a pose out of reach has no solution") {
  Pose far = Pose::Identity();
  far.translation() << 5000, 0, 0;
  CHECK(inverse(loader_arm(), far)->all.empty());
  CHECK_FALSE(inverse(loader_arm(), far)->singular);
}

TEST_CASE("an arm that is singular everywhere is told so") {
  Arm all_parallel = loader_arm();
  for (DhRow& row : all_parallel.rows) row.alpha = 0;
  Arm wrist_in_line = loader_arm();
  wrist_in_line.rows[4].alpha = 0;
  for (const Arm& arm : {all_parallel, wrist_in_line}) {
    CHECK(singular_everywhere(arm));
    const auto solutions = inverse(arm, flange_in_base(arm, in_degrees(10, 20, 30, 40, 50, 60)));
    REQUIRE_FALSE(solutions);
    CHECK_THAT(solutions.error(), Catch::Contains("singular in every position"));
  }
  CHECK_FALSE(singular_everywhere(loader_arm()));
  CHECK_FALSE(singular_everywhere(offset_wrist_arm()));
}

TEST_CASE("the structure is found from the table") {
  CHECK(arm_structure(loader_arm()) == ArmStructure{AxisTriple::meeting, 4});
  CHECK(arm_structure(offset_wrist_arm()) == ArmStructure{AxisTriple::parallel, 2});
  Arm skewed = loader_arm();
  skewed.rows[4].a = 50;
  CHECK(arm_structure(skewed) == ArmStructure{});
}

TEST_CASE("an arm seen from its hand has the same solutions") {
  // The table written backwards, a half turn about x between: joint n becomes joint 7 − n.
  const Arm arm = loader_arm();
  Arm backwards = arm;
  backwards.convention = DhConvention::standard;
  for (std::size_t i = 0; i < 6; ++i) backwards.rows[i] = {0, 0, arm.rows[5 - i].d, arm.rows[5 - i].theta};
  for (std::size_t i = 0; i < 5; ++i) {
    backwards.rows[i].a = -arm.rows[4 - i].a;
    backwards.rows[i].alpha = -arm.rows[4 - i].alpha;
  }
  CHECK(arm_structure(backwards) == ArmStructure{AxisTriple::meeting, 1});
  const Joints values = in_degrees(10, 20, -60, 30, 50, -40), mirrored = values.reverse();
  const auto forwards = inverse(arm, flange_in_base(arm, values));
  const auto solutions = inverse(backwards, flange_in_base(backwards, mirrored));
  REQUIRE(solutions->all.size() == forwards->all.size());
  for (const Solution& solution : forwards->all) CHECK(among(*solutions, solution.values.reverse(), 1e-9));
}

TEST_CASE("couplings by a fraction of a turn still give values within a turn") {
  Arm arm = loader_arm();
  arm.dh_from_values(5, 4) = -0.5;
  const Joints values = in_degrees(170, 20, -160, 175, 130, -170);
  const auto solutions = inverse(arm, flange_in_base(arm, values));
  REQUIRE_FALSE(solutions->all.empty());
  for (const Solution& solution : solutions->all) {
    CHECK(solution.values.cwiseAbs().maxCoeff() <= pi);
    CHECK(solution.position_error_mm < 1e-6);
  }
}
