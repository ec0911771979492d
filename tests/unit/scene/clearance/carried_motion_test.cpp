// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/carried_motion.hpp"

#include "scene/cycle/plan.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;
using random_geometry::between;
using random_geometry::Engine;

namespace {

/// A point of a body's box: a corner now and then.
Vector3d point_of(const SceneBody& body, Engine& engine) {
  const Box& box = body.solid->box();
  if (between(engine, 0, 1) < 0.4) return box.corners()[static_cast<std::size_t>(between(engine, 0, 7.999))];
  return box.low +
         Vector3d(between(engine, 0, 1), between(engine, 0, 1), between(engine, 0, 1)).cwiseProduct(box.high - box.low);
}

/// Poses by the frame tree alone. On lines the tool's ideal pose is where the line says.
Pose true_pose(const Scene& scene, const Stretch& stretch, BodyId body, double share) {
  Joints joints = stretch.motion.path.on_chain(share);
  if (stretch.motion.path.is_linear() && !stretch.motion.path.goes_nowhere())
    joints = stretch.motion.path.at(scene.cell.arm.arm, share).values;
  Arrangement arrangement = *stretch.arrangement;
  for (const auto& shift : stretch.shifts) arrangement.in_parent[shift.frame] = shifted_pose(shift, share);
  return world_pose(scene, arrangement, arm_frames(scene.cell.arm.arm, joints), scene.bodies[body].frame);
}

/// By the frame tree alone: over the whole stretch one is never elsewhere, seen from the other.
void check_never_moves_apart(const Scene& scene, const Stretch& stretch, BodyId a, BodyId b) {
  const auto b_in_a = [&](double share) {
    return Pose(true_pose(scene, stretch, a, share).inverse() * true_pose(scene, stretch, b, share));
  };
  const Pose at_first = b_in_a(0);
  for (int i = 1; i <= 20; ++i) CHECK((b_in_a(i / 20.0).matrix() - at_first.matrix()).norm() < 1e-6);
}

/// Points of the outer body, seen from the inner, against the even motion and its stray, over spans long and short.
/// True if the two move against each other.
bool check_pair(const Scene& scene, const Stretch& stretch, BodyId a, BodyId b, Engine& engine) {
  const CarriedMotion motion(scene, stretch);
  const Mover mover_a = motion.mover_of(a), mover_b = motion.mover_of(b);
  if (motion.stands_still(mover_a, mover_b)) {
    check_never_moves_apart(scene, stretch, a, b);
    return false;
  }
  const double stray_of_chain = motion.chain_stray(mover_a, mover_b);
  for (int k = 0; k < 12; ++k) {
    const double length = std::pow(10, between(engine, -4, 0));
    const double from = between(engine, 0, 1 - length), to = from + length, middle = 0.5 * (from + to);
    const auto against = motion.motion_against(mover_a, mover_b, from, to);
    const double travel = motion.relative_travel(mover_a, mover_b, from, to);
    const BodyId outer = against.a_is_outer ? a : b, inner = against.a_is_outer ? b : a;
    const Pose outer_middle = motion.pose(against.a_is_outer ? mover_a : mover_b, middle);
    const Pose inner_middle = motion.pose(against.a_is_outer ? mover_b : mover_a, middle);
    // The pair's placing is that of the frame tree, but for the chain's stray.
    const Vector3d p = point_of(scene.bodies[outer], engine);
    CHECK((outer_middle * p - true_pose(scene, stretch, outer, middle) * p).norm() <= stray_of_chain + 1e-6);
    for (int i = 0; i <= 10; ++i) {
      const double u = i / 10.0 - 0.5, share = middle + u * length;
      // Where the inner one stands at the middle, the point is seen at the same place relative to it.
      const Pose outer_now = motion.pose(against.a_is_outer ? mover_a : mover_b, share);
      const Pose inner_now = motion.pose(against.a_is_outer ? mover_b : mover_a, share);
      const Vector3d seen = inner_middle * (inner_now.inverse() * (outer_now * p));
      const Vector3d start = outer_middle * p;
      const RelativeMotion& even = against.motion;
      if (even.velocity.isZero(0) && even.turning.isZero(0)) {
        // Two shifts at once: no direction is claimed, only how far both go in all, each in world.
        const Vector3d q = point_of(scene.bodies[inner], engine);
        CHECK((outer_now * p - start).norm() + (inner_now * q - inner_middle * q).norm() <= even.stray_mm + 1e-7);
        continue;
      }
      const Vector3d even_way = u / 0.5 * even.half * (even.velocity + even.turning.cross(start - even.about));
      CAPTURE(from, to, u);
      CHECK((seen - start - even_way).norm() <= even.stray_mm + 1e-7);
      CHECK((seen - start).norm() <= travel + 1e-7);
    }
  }
  return true;
}

void check_all_pairs(const std::string& text, Engine& engine) {
  const Scene scene = scene_of(text);
  const Cycle cycle = plan_cycle(scene);
  if (cycle.runs.front().failure) FAIL(cycle.runs.front().failure->message);
  int moving = 0;
  for (const Stretch& stretch : cycle.runs.front().stretches)
    for (const BodyId a : ids_of(scene.bodies))
      for (const BodyId b : ids_of(scene.bodies))
        if (a != b && check_pair(scene, stretch, a, b, engine)) ++moving;
  CHECK(moving >= 8);  // a body that moves, against four others or more, both ways
}

const std::string bodies =
    body_text("upper arm", "link2", "{ xyz = [-300, 0, 0] }", "box = [600, 100, 80]") +
    body_text("forearm", "link4", "{ xyz = [0, 150, 0] }", "box = [90, 300, 70]") +
    body_text("tool", "flange", "{ xyz = [20, -30, 90], turn = [10, 20, 30] }", "box = [60, 20, 180]") +
    body_text("post", "world", "{ xyz = [800, 500, 500] }", "box = [50, 50, 900]") +
    "[[tcp]]\nname = \"tip\"\non = \"flange\"\nat = { xyz = [30, 0, 180], turn = [0, 25, 0] }\n";

}  // namespace

TEST_CASE("over any span of a joint move points stay by the even motion to within its stray") {
  Engine engine(11);
  for (int i = 0; i < 6; ++i) {
    const auto angles = [&] {
      return fmt::format("{}, {}, {}, {}, {}, {}", between(engine, -150, 150), between(engine, -60, 60),
                         between(engine, -60, 60), between(engine, -150, 150), between(engine, -100, 100),
                         between(engine, -300, 300));
    };
    check_all_pairs("format = 1\n[arm]\nbase = { xyz = [10, 20, 30], turn = [5, 10, 70] }\n" + joints + bodies +
                        cycle_from(angles()) + joint_move(angles()),
                    engine);
  }
}

TEST_CASE("over any span of a line, tool, inner links and both against each other stay within the stray") {
  Engine engine(12);
  for (int i = 0; i < 4; ++i) {
    const double tilt = between(engine, -40, 40);
    check_all_pairs(head + bodies + cycle_from("0, 0, 0, 0, -90, 0") +
                        fmt::format(R"([[step]]
move = "joint"
to = {{ tcp = "tip", at = {{ xyz = [650, {}, 500], turn = [180, 0, 20] }} }}
[[step]]
move = "linear"
to = {{ tcp = "tip", at = {{ xyz = [750, {}, 600], turn = [{}, 10, 50] }} }}
)",
                                    between(engine, -300, 0), between(engine, 0, 300), 180 + tilt),
                    engine);
  }
}

TEST_CASE("over any span of a shift, with turns up to a half and one upon another, points stay within the stray") {
  Engine engine(13);
  for (const auto* turn :
       {"[0, 0, 90]", "[30, -40, 100]", "[0, 0, 180]", "[180, 0, 0]", "[0, 0, 179.9]", "[0, 0, 0]"}) {
    CAPTURE(turn);
    check_all_pairs(
        head + bodies +
            body_text("door", "world", "{ xyz = [400, -300, 500], turn = [0, 0, 5] }", "box = [600, 20, 400]") +
            body_text("handle", "door", "{ xyz = [280, 30, 0] }", "box = [20, 40, 90]") +
            body_text("latch", "handle", "{ xyz = [0, 20, 0] }", "box = [5, 50, 5]") +
            cycle_from("0, 0, 0, 0, -90, 0") +
            fmt::format(R"([[step]]
shift = "door"
to = {{ xyz = [300, -200, 550], turn = {0} }}
time = "1 s"
[[step]]
shift = ["handle", "door"]
to = [{{ xyz = [280, 60, 40], turn = {0} }}, {{ xyz = [400, -300, 500], turn = [0, 20, 5] }}]
time = "1 s"
)",
                        turn),
        engine);
  }
}
