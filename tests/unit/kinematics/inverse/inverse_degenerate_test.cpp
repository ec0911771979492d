// SPDX-License-Identifier: GPL-3.0-or-later
// Arms and poses at the edge, on purpose: axes that nearly meet or are nearly parallel, joints at half turns, zero
// lengths, huge and tiny arms, poses where solutions fall together.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/arm_structure.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

int cases() {
  return std::getenv("CELLPROOF_LONG") != nullptr ? 2000 : 200;
}

double scaled_sigma(const Arm& arm, const Joints& values) {
  return least_singular_value(flange_jacobian(arm, arm_frames(arm, values)), length_scale(arm));
}

const Solution* solution_near(const Solutions& solutions, const Joints& values, double within) {
  for (const Solution& solution : solutions.all) {
    if (turns_apart(solution.values, values) < within) return &solution;
  }
  return nullptr;
}

/// How many of `cases()` joint vectors are not among the solutions of their own poses, or stand for them badly.
template <typename MakeArm, typename MakeJoints>
int missed(const MakeArm& make_arm, const MakeJoints& make_joints, double least_sigma = 1e-5) {
  Random random(51);
  int count = 0, tried = 0;
  while (tried < cases()) {
    const Arm arm = make_arm(random);
    const Joints values = make_joints(random);
    if (!(length_scale(arm) > 0) || scaled_sigma(arm, values) < least_sigma) continue;
    ++tried;
    const auto solutions = inverse(arm, flange_in_base(arm, values));
    const Solution* found = solutions ? solution_near(*solutions, values, radians(1e-4)) : nullptr;
    const bool good = found && found->position_error_mm / length_scale(arm) < 1e-9 && found->angle_error < 1e-9;
    count += good ? 0 : 1;
  }
  return count;
}

Joints any_joints(Random& random) {
  return random.joints();
}

/// Half of them exactly at zero, quarter or half turns.
Joints round_joints(Random& random) {
  constexpr std::array<double, 5> round{0, pi, -pi, pi / 2, -pi / 2};
  Joints values = random.joints();
  for (double& value : values) {
    if (random.one_in(2)) value = round[static_cast<std::size_t>(random.between(0, 5))];
  }
  return values;
}

std::size_t any_first(Random& random) {
  return static_cast<std::size_t>(random.between(1, 5));
}

Arm scaled(Arm arm, double factor) {
  for (DhRow& row : arm.rows) row.a *= factor, row.d *= factor;
  arm.flange_in_link6.translation() *= factor;
  return arm;
}

double determinant(const Arm& arm, const Joints& values) {
  return flange_jacobian(arm, arm_frames(arm, values)).determinant();
}

/// On the way between two joint vectors on either side of a singularity, where it is.
Joints singular_between(const Arm& arm, Joints a, Joints b) {
  const bool rising = determinant(arm, a) < 0;
  for (int round = 0; round < 200; ++round) {
    const Joints middle = (a + b) / 2;
    ((determinant(arm, middle) < 0) == rising ? a : b) = middle;
  }
  return a;
}

}  // namespace

TEST_CASE("axes that nearly meet hide no solution") {
  const double off = GENERATE(1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3);
  CAPTURE(off);
  const auto nearly_meeting = [&](Random& random) {
    const std::size_t first = any_first(random);
    Arm arm = any_meeting_arm(random, first);
    const double length = length_scale(arm);
    for (double* gap : {&after_joint(arm, first).a, &after_joint(arm, first + 1).a, &arm.rows[first].d})
      *gap = random.between(-1, 1) * off * length;
    return arm;
  };
  // Where other axes meet as well, such an arm is within `off` of being singular everywhere.
  CHECK(missed(nearly_meeting, any_joints, 1e-4) == 0);
}

TEST_CASE("axes that are nearly parallel hide no solution") {
  const double off = GENERATE(1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3);
  CAPTURE(off);
  const auto nearly_parallel = [&](Random& random) {
    const std::size_t first = any_first(random);
    Arm arm = any_parallel_arm(random, first);
    for (const std::size_t joint : {first, first + 1}) after_joint(arm, joint).alpha += random.between(-1, 1) * off;
    return arm;
  };
  CHECK(missed(nearly_parallel, any_joints) == 0);
}

TEST_CASE("joints at exactly half and quarter turns are found like any other, whatever the arm") {
  CHECK(missed(any_arm, round_joints) == 0);
  CHECK(missed(any_skewed_arm, round_joints) == 0);
  CHECK(missed([](Random& random) { return any_meeting_arm(random, any_first(random)); }, round_joints) == 0);
  CHECK(missed([](Random& random) { return any_parallel_arm(random, any_first(random)); }, round_joints) == 0);
}

TEST_CASE("arms of quarter turns with equal or zero lengths hide no solution") {
  const auto blocky = [](Random& random) {
    constexpr std::array<double, 4> quarters{0, pi / 2, -pi / 2, pi};
    Arm arm = any_arm(random);
    for (DhRow& row : arm.rows) {
      row.alpha = quarters[static_cast<std::size_t>(random.between(0, 4))];
      row.a = random.one_in(2) ? 0 : 300;
      row.d = random.one_in(2) ? 0 : 300;
    }
    return arm;
  };
  CHECK(missed(blocky, any_joints) == 0);
  CHECK(missed(blocky, round_joints) == 0);
}

TEST_CASE("huge and tiny arms are solved alike") {
  const double factor = GENERATE(1e-6, 1e-3, 1e3, 1e6);
  CAPTURE(factor);
  CHECK(missed([&](Random& random) { return scaled(any_arm(random), factor); }, any_joints) == 0);
}

TEST_CASE("where two solutions of a skewed arm fall together there is one, said to be double") {
  Random random(61);
  int tried = 0, found = 0, doubles = 0, continua = 0;
  while (tried < cases() / 4) {
    const Arm arm = any_skewed_arm(random);
    const Joints a = random.joints(), b = random.joints();
    if (determinant(arm, a) * determinant(arm, b) > 0) continue;
    const Joints singular = singular_between(arm, a, b);
    ++tried;
    const auto solutions = inverse(arm, flange_in_base(arm, singular));
    const Solution* solution = solution_near(*solutions, singular, radians(1e-3));
    found += solution != nullptr;
    doubles += solution && solution->double_root;
    continua += solutions->singular;
  }
  CHECK(found == tried);
  CHECK(doubles == tried);
  CHECK(continua == 0);
}

TEST_CASE("a stretched arm and a wrist at zero keep their solutions beside the others") {
  Arm arm = loader_arm();
  Joints values;
  values << 0.3, 0.5, std::atan2(640.0, 120.0), 0.7, 0, 0.5;  // elbow stretched (see link 3) and wrist at zero
  const auto solutions = inverse(arm, flange_in_base(arm, values), values);
  CHECK(solutions->singular);
  const Solution* solution = solution_near(*solutions, values, radians(1e-3));
  REQUIRE(solution);
  CHECK(solution->double_root);
}

TEST_CASE("a solution exactly on a limit is within it") {
  Arm arm = loader_arm();
  Joints values;
  values << radians(60), radians(20), radians(-40), radians(30), radians(50), radians(10);
  arm.limits[0].max = radians(60);
  arm.limits[2].min = radians(-40);
  const auto solutions = inverse(arm, flange_in_base(arm, values));
  const Solution* solution = solution_near(*solutions, values, 1e-9);
  REQUIRE(solution);
  CHECK_FALSE(whole_turns(arm, solution->values).empty());
}

TEST_CASE("an arm that can move in place says so, and stands in one of the ways") {
  // Axes 1 and 6 of this skewed arm are brought into one line: they turn against each other for nothing.
  Random random(71);
  for (int i = 0; i < 20; ++i) {
    Arm arm = any_skewed_arm(random);
    arm.convention = DhConvention::standard;
    // The fifth link ends where axis 1 is: a screw from frame 5 to the base, as a DH row with a turn before and after.
    const Joints values = random.joints();
    const ArmFrames frames = arm_frames(arm, values);
    const Pose fifth = frames.link_in_base[4];
    const Vector3d z = fifth.linear().col(2), up = Vector3d::UnitZ();
    // The common normal of axis 5 and axis 1.
    const Vector3d normal = z.cross(up).normalized();
    const Vector3d between = -fifth.translation();
    arm.rows[4].a = between.dot(normal);
    arm.rows[4].alpha = std::atan2(z.cross(up).dot(normal), z.dot(up));
    const Vector3d rest = between - arm.rows[4].a * normal;
    const double c = z.dot(up);
    arm.rows[4].d = (rest.dot(z) - c * rest.dot(up)) / (1 - c * c);
    Joints aligned = values;
    const Vector3d seen = fifth.linear().transpose() * normal;
    aligned[4] = arm.dh_from_values(4, 4) * (std::atan2(seen.y(), seen.x()) - arm.rows[4].theta);
    const JointAxis sixth = joint_axes(arm, arm_frames(arm, aligned))[5];
    REQUIRE(sixth.direction.cross(up).norm() < 1e-9);
    REQUIRE(sixth.point.cross(up).norm() < 1e-6);
    const Pose pose = flange_in_base(arm, aligned);
    const auto solutions = inverse(arm, pose);
    REQUIRE(solutions);
    CHECK(solutions->singular);
    CHECK_FALSE(solutions->all.empty());
  }
}
