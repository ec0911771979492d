// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/moment.hpp"

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::body_named;
using test::passing_proof;
using test::swing_s;

namespace {

/// A pick from a seat, as a cell file has it: the part hangs on the tcp between grip and release.
const std::string carrying = test::head + R"(
[[body]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 10] }
box = [20, 20, 20]
[[tcp]]
name = "tip"
at = { xyz = [0, 0, 20] }
[[seat]]
name = "here"
at = { xyz = [790, 0, 950] }
[[seat]]
name = "there"
at = { xyz = [790, 200, 950] }
[[part]]
name = "block"
box = [30, 30, 30]
seat = "here"
grasps = [ { name = "top", at = { xyz = [0, 0, 15], turn = [180, 0, 0] } } ]
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
name = "take"
pick = "block"
tcp = "tip"
grasp = "top"
approach = [0, 0, 50]
retreat = [0, 0, 50]
[[step]]
name = "put"
place = "block"
seat = "there"
approach = [0, 0, 50]
retreat = [0, 0, 50]
)";

}  // namespace

TEST_CASE("At an instant the bodies stand where the arm has them, and speeds are those of the time law") {
  const Moment middle = moment_of(passing_proof(), 0, 100 + swing_s / 2);
  const BodyId hand = body_named(*passing_proof().scene, "hand");
  const FrameId frame = passing_proof().scene->bodies[hand].frame;
  // The flange is 790 from the first axis; half of 30 degrees (derived).
  const Vector3d expected(790 * std::cos(radians(15)), 790 * std::sin(radians(15)), 1040);
  CHECK((middle.at.frame_in_world[frame].translation() - expected).norm() < 1e-6);
  // At its peak the triangle of speed reaches √(30 · 600) deg/s, and the flange moves at 790 mm times that.
  CHECK(degrees(middle.joint_speeds[0]) == Approx(std::sqrt(30.0 * 600)));
  CHECK(middle.tool_speed == Approx(790 * radians(std::sqrt(30.0 * 600))));
  CHECK(middle.tool_turn_speed == Approx(radians(std::sqrt(30.0 * 600))));
  CHECK(middle.tcp.empty());
}

TEST_CASE("While the arm stands its speeds are zero, and a time outside is held within the run") {
  CHECK(moment_of(passing_proof(), 0, 50).tool_speed == 0);
  CHECK(moment_of(passing_proof(), 0, -5).time_s == 0);
  CHECK(moment_of(passing_proof(), 0, 1e9).time_s == passing_proof().cycle->runs[0].duration_s);
}

TEST_CASE("A part changes hands: in its seat, in the hand, in its new seat") {
  const Proof proof = test::proved(carrying);
  const FrameId frame = proof.scene->bodies[body_named(*proof.scene, "block")].frame;
  const auto where = [&](double time_s) {
    return Vector3d(moment_of(proof, 0, time_s).at.frame_in_world[frame].translation());
  };
  const double end_s = proof.cycle->runs[0].duration_s;
  CHECK((where(0) - Vector3d(790, 0, 950)).norm() < 1e-6);
  CHECK((where(end_s) - Vector3d(790, 200, 950)).norm() < 1e-6);
  CHECK(moment_of(proof, 0, 0).held_part.empty());
  CHECK(moment_of(proof, 0, end_s).held_part.empty());
  int held = 0;
  for (double time_s = 0; time_s < end_s; time_s += 0.05) {
    const Moment moment = moment_of(proof, 0, time_s);
    if (moment.held_part.empty()) continue;
    ++held;
    CHECK(moment.held_part == "block");
    CHECK(moment.tcp == "tip");
    // 15 mm from the part's origin to its grasp, along the tip's axis.
    const FrameId tip = proof.scene->frame_named("tip");
    CHECK((where(time_s) - moment.at.frame_in_world[tip].translation()).norm() == Approx(15));
  }
  CHECK(held > 10);
}
