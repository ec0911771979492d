// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path.hpp"

#include <utility>

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;
using namespace cellproof::tests;

namespace {

/// A line of the tcp, 120 mm ahead of the flange, from where the arm stands.
LineRequest line_from(const Arm& arm, const Joints& start, const Vector3d& shift,
                      const Vector3d& turn = Vector3d::Zero()) {
  LineRequest request;
  request.start = start;
  request.target.tcp_in_flange.translation() << 0, 0, 120;
  request.target.start_in_base = flange_in_base(arm, start) * request.target.tcp_in_flange;
  Pose end = request.target.start_in_base;
  end.translation() += shift;
  if (turn.norm() > 0) end.linear() = Eigen::AngleAxisd(turn.norm(), turn.normalized()) * end.linear();
  request.target.end_in_base = end;
  request.reach_mm << 2000, 2000, 1400, 700, 400, 300;
  return request;
}

Pose tcp_at(const Arm& arm, const Path& path, const Joints& values) {
  return flange_in_base(arm, values) * path.target().tcp_in_flange;
}

const Joints ready = in_degrees(20, 10, -60, 30, 60, -20);
const Joints bent = in_degrees(10, -100, 80, -70, 60, 20);

}  // namespace

TEST_CASE("a joint move is straight in joint space") {
  const Joints from = in_degrees(0, 10, 20, 30, 40, 50), to = in_degrees(90, -10, 20, 30, 0, 400);
  const Path path = Path::joint(from, to);
  CHECK(path.knots().size() == 2);
  CHECK_FALSE(path.is_linear());
  CHECK(path.stray_mm() == 0);
  CHECK((path.on_chain(0.25) - (0.75 * from + 0.25 * to)).norm() < 1e-15);
  const PathPoint point = path.at(loader_arm(), 0.25);
  CHECK((point.first - (to - from)).norm() == 0);
  CHECK(point.second.norm() == 0);
  CHECK((path.travel(0.25, 0.75) - (to - from).cwiseAbs() / 2).norm() < 1e-14);
}

TEST_CASE("s is held within the path") {
  const Path path = Path::joint(Joints::Zero(), Joints::Ones());
  CHECK(path.on_chain(-3) == Joints::Zero());
  CHECK(path.on_chain(3) == Joints::Ones());
}

TEST_CASE("a joint move to where the arm stands goes nowhere") {
  CHECK(Path::joint(ready, ready).goes_nowhere());
  CHECK_FALSE(Path::joint(ready, ready + 1e-6 * Joints::Ones()).goes_nowhere());
}

TEST_CASE("a line's target goes straight and turns about one axis") {
  // Slerp's quarter: (0.980785280403, 0, 0, 0.195090322016), K. Shoemake, SIGGRAPH 1985 (derived).
  LinearTarget line;
  line.end_in_base.translation() << 40, 0, 0;
  line.end_in_base.linear() = Eigen::AngleAxisd(pi / 2, Vector3d::UnitZ()).toRotationMatrix();
  const Pose quarter = line.at(0.25);
  CHECK(quarter.translation().x() == Approx(10));
  const Eigen::Quaterniond turn(quarter.linear());
  CHECK(std::abs(turn.w()) == Approx(0.980785280403).margin(1e-12));
  CHECK(std::abs(turn.z()) == Approx(0.195090322016).margin(1e-12));
  CHECK(line.angle() == Approx(pi / 2));
  CHECK(line.distance_mm() == Approx(40));
}

TEST_CASE("a followed line is straight to within its stray and exact by its ideal motion") {
  for (const auto& [arm, start] : {std::pair(loader_arm(), ready), std::pair(offset_wrist_arm(), bent)}) {
    const LineRequest request = line_from(arm, start, {-150, 120, -180}, {0.3, -0.2, 0.5});
    const auto path = follow_line(arm, request);
    REQUIRE(path);
    CHECK(path->is_linear());
    CHECK(path->knots().size() < 1000);
    CHECK((path->start() - request.start).norm() == 0);
    const Pose end = tcp_at(arm, *path, path->end());
    CHECK((end.translation() - request.target.end_in_base.translation()).norm() < 1e-9);
    CHECK((end.linear() - request.target.end_in_base.linear()).norm() < 1e-9);
    for (int i = 0; i <= 3000; ++i) {
      const double s = i / 3000.0;
      const Pose ideal = request.target.at(s);
      const PathPoint exact = path->at(arm, s);
      const Pose followed = tcp_at(arm, *path, exact.values);
      CHECK((followed.translation() - ideal.translation()).norm() < 1e-8);
      CHECK((followed.linear() - ideal.linear()).norm() < 1e-10);
      const double stray = (path->on_chain(s) - exact.values).cwiseAbs().dot(request.reach_mm);
      CHECK(stray <= request.stray_mm);
    }
  }
}

TEST_CASE("on random arms the chain strays no more than it may") {
  Random random(21);
  int followed = 0;
  for (int i = 0; i < 60; ++i) {
    const Arm arm = random.one_in(2) ? any_spherical_arm(random) : any_parallel_arm(random);
    const LineRequest request = line_from(arm, random.joints(), random.point(60), random.point(0.3));
    const auto path = follow_line(arm, request);
    if (!path) {
      // A line ends only where the Jacobian loses rank.
      const ArmFrames frames = arm_frames(arm, path.error().values);
      CHECK(least_singular_value(flange_jacobian(arm, frames), length_scale(arm)) < 1e-3);
      continue;
    }
    ++followed;
    double worst = 0;
    for (const Knot& knot : path->knots()) {
      for (const double ahead : {0.21, 0.5, 0.83}) {
        const auto& next = (&knot)[&knot == &path->knots().back() ? 0 : 1];
        const double s = knot.s + ahead * (next.s - knot.s);
        const Joints error = (arm.dh_from_values * (path->on_chain(s) - path->at(arm, s).values)).cwiseAbs();
        worst = std::max(worst, error.dot(request.reach_mm));
      }
    }
    CHECK(worst <= request.stray_mm);
  }
  CHECK(followed > 20);
}

TEST_CASE("derivatives along a line are the slopes of its joint values") {
  for (const auto& [arm, start] : {std::pair(loader_arm(), ready), std::pair(offset_wrist_arm(), bent)}) {
    const auto path = follow_line(arm, line_from(arm, start, {-150, 120, -180}, {0.3, -0.2, 0.5}));
    REQUIRE(path);
    constexpr double h = 1e-4;
    for (double s = 0.05; s < 0.96; s += 0.05) {
      const PathPoint here = path->at(arm, s), ahead = path->at(arm, s + h), behind = path->at(arm, s - h);
      const Joints first = (ahead.values - behind.values) / (2 * h), second = (ahead.first - behind.first) / (2 * h);
      CHECK((here.first - first).cwiseAbs().maxCoeff() < 1e-6);
      CHECK((here.second - second).cwiseAbs().maxCoeff() < 1e-5);
    }
  }
}

TEST_CASE("a pure turn about the tcp leaves it in place") {
  const Arm arm = loader_arm();
  const LineRequest request = line_from(arm, ready, Vector3d::Zero(), {0, 0, 1.2});
  const auto path = follow_line(arm, request);
  REQUIRE(path);
  const Pose half_way = tcp_at(arm, *path, path->at(arm, 0.5).values);
  CHECK((half_way.translation() - request.target.start_in_base.translation()).norm() < 1e-8);
  CHECK(Eigen::AngleAxisd(half_way.linear() * request.target.start_in_base.linear().transpose()).angle() ==
        Approx(0.6));
}

TEST_CASE("a line of no length goes nowhere and keeps its target") {
  const Arm arm = loader_arm();
  const auto path = follow_line(arm, line_from(arm, ready, Vector3d::Zero()));
  REQUIRE(path);
  CHECK(path->goes_nowhere());
  CHECK(path->is_linear());
  CHECK(path->knots().size() == 2);
  CHECK((path->at(arm, 0.5).values - ready).norm() == 0);
}

TEST_CASE("a half turn has no unique axis") {
  const Arm arm = loader_arm();
  const auto path = follow_line(arm, line_from(arm, ready, {100, 0, 0}, {pi, 0, 0}));
  REQUIRE_FALSE(path);
  CHECK(path.error().why == LineStop::half_turn);
}

TEST_CASE("a line that leaves the arm's reach ends where it does") {
  // Wrist straight ahead in the plane of the arm: from the shoulder (150, 0, 450) upper arm 600 and forearm √(120² +
  // 640²) reach 1251.152 mm; the tcp keeps its offset from the wrist's centre (derived).
  const Arm arm = loader_arm();
  const Joints start = in_degrees(0, 0, -20, 0, 60, 0);
  const LineRequest request = line_from(arm, start, {0, 0, 3000});
  const ArmFrames frames = arm_frames(arm, start);
  const Vector3d centre = frames.link_in_base[4].translation() - Vector3d(150, 0, 450);
  const double reach = 600 + std::hypot(120, 640);
  const double expected = -centre.z() + std::sqrt(reach * reach - centre.x() * centre.x());
  const auto path = follow_line(arm, request);
  REQUIRE_FALSE(path);
  CHECK(path.error().why == LineStop::out_of_reach);
  CHECK(path.error().at_mm == Approx(expected).margin(0.01));
  CHECK(path.error().at_mm <= expected + 1e-6);
}

TEST_CASE("a straight wrist passed in its own plane is followed through") {
  // Joint 5 goes through zero while joints 4 and 6 rest: the motion does not need the axis that is lost.
  const Arm arm = loader_arm();
  const Joints start = in_degrees(0, 20, -30, 0, 20, 0);
  const Vector3d about_axis_5 = joint_axes(arm, arm_frames(arm, start))[4].direction;
  const auto path = follow_line(arm, line_from(arm, start, {20, 0, -10}, radians(-40) * about_axis_5));
  REQUIRE(path);
  CHECK(path->start()[4] > 0);
  CHECK(path->end()[4] < 0);
  CHECK(std::abs(path->end()[3]) < 1e-6);
}

TEST_CASE("a straight wrist that the line asks to lean sideways stops it") {
  const Arm arm = loader_arm();
  const Joints start = in_degrees(0, 20, -30, 0, 0, 0);
  const auto axes = joint_axes(arm, arm_frames(arm, start));
  const Vector3d sideways = axes[4].direction.cross(axes[5].direction);
  const auto path = follow_line(arm, line_from(arm, start, Vector3d::Zero(), 0.3 * sideways));
  REQUIRE_FALSE(path);
  CHECK(path.error().why == LineStop::singularity);
  CHECK(path.error().s < 1e-6);
}

TEST_CASE("a start that is not on the line is a bug of the caller") {
  const Arm arm = loader_arm();
  LineRequest request = line_from(arm, ready, {100, 0, 0});
  request.start[0] += 0.01;
  CHECK_THROWS_AS(follow_line(arm, request), std::invalid_argument);
}

TEST_CASE("lines of any length are followed, down to what rounding leaves") {
  for (double length = 1e-8; length < 300; length *= 10) {
    CAPTURE(length);
    const Arm arm = loader_arm();
    const auto path = follow_line(arm, line_from(arm, ready, {0, 0, -length}));
    REQUIRE(path);
    CHECK((tcp_at(arm, *path, path->end()).translation() - path->target().end_in_base.translation()).norm() < 1e-9);
  }
}
