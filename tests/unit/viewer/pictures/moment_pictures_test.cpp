// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/moment_pictures.hpp"

#include "checks/instant.hpp"
#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::passing_proof;
using test::swing_s;

namespace {

Moment over_the_post() {
  return moment_of(passing_proof(), 0, 100 + swing_s / 2);
}

}  // namespace

TEST_CASE("a still says which instant it is of, and has the nearest pair marked if asked") {
  StillRequest still = still_of(*passing_proof().scene, *passing_proof().cycle, over_the_post());
  CHECK(still.pairs.empty());
  mark_nearest(*passing_proof().scene, over_the_post(), still);
  REQUIRE(still.pairs.size() == 1);
  CHECK(still.pairs[0].words == "hand / post: 3.0 mm");
  CHECK(still.detail == fmt::format("{:.2f} s, step \"swing\"", 100 + swing_s / 2));
}

TEST_CASE("a close-up looks across the gap, is filled by it, and leaves out what stands before it") {
  const Scene& scene = *passing_proof().scene;
  const Moment moment = over_the_post();
  const auto gap = instant_clearance(scene, *moment.stretch, moment.time_s);
  REQUIRE(gap);
  const StillRequest close = close_up_of(scene, *passing_proof().cycle, moment, *gap);
  REQUIRE(close.direction);
  // The gap is upright: 3 mm between the block's lower face and the post's upper one.
  CHECK(std::abs(close.direction->z()) < 1e-6);
  REQUIRE(close.shown);
  CHECK(close.shown->contains(gap->points[0]));
  CHECK(close.shown->contains(gap->points[1]));
  CHECK((close.shown->high - close.shown->low).maxCoeff() <= 600);
  for (const std::string& name : close.hidden) {
    CHECK(std::count(gap->between.begin(), gap->between.end(), name) == 0);
    CHECK(close.detail.find(name) != std::string::npos);
  }
  CHECK(close.solid == std::vector<std::string>{gap->between[0], gap->between[1]});
}

TEST_CASE("the gap between two bodies at a moment is theirs, whatever else is nearer") {
  const Scene& scene = *passing_proof().scene;
  const auto post = gap_between(scene, over_the_post(), "hand", "post");
  REQUIRE(post);
  CHECK(post->lower_mm == Approx(3).margin(0.01));
  // The table's top is at 887, the hand's lower face at 1030 (derived, see passing_hand.hpp).
  const auto table = gap_between(scene, over_the_post(), "hand", "table");
  REQUIRE(table);
  CHECK(table->lower_mm == Approx(143).margin(0.01));
  CHECK((table->points[1] - table->points[0]).norm() == Approx(143).margin(0.01));
  CHECK_FALSE(gap_between(scene, over_the_post(), "hand", "mark"));
}

TEST_CASE("bodies that touch are looked at from the quarter") {
  const Moment moment = over_the_post();
  ClearanceFigure touching;
  touching.between = {"hand", "post"};
  touching.points = {Vector3d(763, 204, 1027), Vector3d(763, 204, 1027)};
  const StillRequest close = close_up_of(*passing_proof().scene, *passing_proof().cycle, moment, touching);
  CHECK(close.pairs.at(0).words == "hand / post: touch");
  REQUIRE(close.direction);
  CHECK(close.direction->z() < 0);
}

TEST_CASE("outside a look a camera's picture is about every target") {
  CHECK(targets_at(*passing_proof().scene, over_the_post(), "eye") == std::vector{TargetId(0)});
  const CameraPictureRequest picture =
      camera_picture_of(*passing_proof().scene, *passing_proof().cycle, over_the_post(), CameraId(0));
  CHECK(picture.measured.targets.size() == 1);
}
