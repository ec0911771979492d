// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/clearance_curve.hpp"

#include <catch2/catch.hpp>

#include "scene/cycle/plan.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string ball = body_text("ball", "flange", "{ xyz = [0, 0, 60] }", "sphere = { radius = 40 }");

struct Curve {
  Scene scene;
  Cycle cycle;
  std::vector<PairAsked> pairs;
  std::vector<CurvePoint> points;
  Curve(const std::string& text, const std::vector<std::string>& against)
      : scene(scene_of(text)), cycle(plan_cycle(scene)) {
    for (const auto& name : against) pairs.push_back({body_named(scene, "ball"), body_named(scene, name), 5, {{0, 1}}});
    points = clearance_over_time(scene, last(), pairs);
  }
  const Stretch& last() const { return cycle.runs.front().stretches.back(); }

  /// By the frame tree and `nearest` alone.
  double distance_at(double time) const {
    const auto poses = world_poses(scene, arrangement_at(last(), time), joints_at(last(), time));
    double least = std::numeric_limits<double>::infinity();
    for (const auto& pair : pairs) {
      const auto &a = scene.bodies[pair.a], &b = scene.bodies[pair.b];
      least = std::min(least, nearest(*a.solid, poses[a.frame], *b.solid, poses[b.frame], 1e6).distance);
    }
    return least;
  }
};

/// Between two walls, the second met later.
Curve swing() {
  return {head + ball + body_text("wall", "world", "{ xyz = [1053, 0, 1170] }", "box = [100, 3000, 400]") +
              body_text("post", "world", "{ xyz = [600, 840, 1170] }", "box = [40, 40, 400]") +
              cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"),
          {"wall", "post"}};
}

}  // namespace

TEST_CASE("No instant lies below the curve, and some instant of each interval at its upper bound") {
  const Curve curve = swing();
  REQUIRE(curve.points.size() > 5);
  REQUIRE(curve.points.size() <= 40);
  CHECK(curve.points.front().time_s == curve.last().start_s);
  for (std::size_t i = 0; i < curve.points.size(); ++i) {
    const CurvePoint& point = curve.points[i];
    const double end = i + 1 < curve.points.size() ? curve.points[i + 1].time_s : curve.last().end_s;
    CHECK(end - point.time_s >= 0.05 - 1e-9);
    double least = std::numeric_limits<double>::infinity();
    for (int k = 0; k <= 40; ++k)
      least = std::min(least, curve.distance_at(point.time_s + (end - point.time_s) * k / 40));
    CAPTURE(i, point.time_s, least, point.lower_mm, point.upper_mm);
    CHECK(point.lower_mm <= least + 1e-6);
    CHECK(point.upper_mm >= least - 0.2);  // the balls' and the samples' coarseness
    CHECK(point.lower_mm <= point.upper_mm);
  }
}

TEST_CASE("The curve's least lies at the step's least clearance") {
  const Curve curve = swing();
  double lower = std::numeric_limits<double>::infinity(), upper = lower;
  for (const auto& point : curve.points) {
    lower = std::min(lower, point.lower_mm);
    upper = std::min(upper, point.upper_mm);
  }
  const StretchClearance clearance = measure_clearance(curve.scene, curve.last(), curve.pairs);
  CHECK(lower <= clearance.upper_mm);
  CHECK(upper >= clearance.lower_mm);
  CHECK(upper <= clearance.upper_mm + 5);
}

TEST_CASE("Through a wall the curve is 0, and inside a block all of it is") {
  const Curve through(head + ball + body_text("wall", "world", "{ xyz = [900, 0, 1170] }", "box = [400, 20, 400]") +
                          cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"),
                      {"wall"});
  CHECK(through.points.front().lower_mm > 100);
  CHECK(std::any_of(through.points.begin(), through.points.end(),
                    [](const CurvePoint& point) { return point.lower_mm == 0 && point.upper_mm == 0; }));
  const Curve inside(head + ball + body_text("block", "world", "{ xyz = [0, 0, 1000] }", "box = [4000, 4000, 4000]") +
                         cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"),
                     {"block"});
  for (const auto& point : inside.points) CHECK(point.upper_mm == 0);
}

TEST_CASE("Where nothing moves there is one point, and without pairs it is infinite") {
  const Curve still(head + ball + body_text("wall", "world", "{ xyz = [1053, 0, 1170] }", "box = [100, 3000, 400]") +
                        cycle_from("0, 0, 0, 0, 0, 0") + "[[step]]\nwait = \"3 s\"\n",
                    {"wall"});
  REQUIRE(still.points.size() == 1);
  CHECK(still.points[0].upper_mm == Approx(13).margin(0.1));
  CHECK(still.points[0].upper_mm - still.points[0].lower_mm < 0.1);
  const auto none = clearance_over_time(still.scene, still.last(), {});
  REQUIRE(none.size() == 1);
  CHECK(std::isinf(none[0].lower_mm));
}
