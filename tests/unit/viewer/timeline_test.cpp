// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/timeline.hpp"

#include "tests/support/passing_hand.hpp"
#include "viewer/finding_places.hpp"

using namespace cellproof;
using test::passing_proof;
using test::swing_s;

TEST_CASE("A timeline has a cell's steps in order, each from where the last ends") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  REQUIRE(timeline.steps.size() == 3);
  CHECK(timeline.steps[0].name == "stand");
  CHECK(timeline.steps[1].name == "swing");
  CHECK(timeline.steps[1].start_s == Approx(100));
  CHECK(timeline.steps[1].end_s == Approx(100 + swing_s));
  CHECK(timeline.steps[2].end_s == Approx(timeline.duration_s));
  CHECK(step_at(timeline, 50) == 0U);
  CHECK(step_at(timeline, 100 + swing_s / 2) == 1U);
  CHECK(step_at(timeline, 1e6) == 2U);
}

TEST_CASE("A long wait is drawn short and moves are drawn as they are") {
  const TimeAxis axis = timeline_of(passing_proof(), 0).axis;
  CHECK(axis.length() == Approx(longest_still_s + 2 * swing_s));
  CHECK(axis.place_of(100) == Approx(longest_still_s));
  CHECK(axis.place_of(50) == Approx(longest_still_s / 2));
  CHECK(axis.place_of(100 + swing_s) - axis.place_of(100) == Approx(swing_s));
  CHECK(axis.place_of(-1) == 0);
  CHECK(axis.place_of(1e6) == axis.length());
}

TEST_CASE("Place and time on the axis undo each other") {
  const TimeAxis axis = timeline_of(passing_proof(), 0).axis;
  for (double time_s = 0; time_s <= 100 + 2 * swing_s; time_s += 0.37)
    CHECK(axis.time_of(axis.place_of(time_s)) == Approx(time_s).margin(1e-9));
}

TEST_CASE("What comes too close is a mark where it is closest") {
  // The block is over the post half way through each swing, for the way of the post's and its own width.
  const Timeline timeline = timeline_of(passing_proof(), 0);
  REQUIRE(timeline.marks.size() >= 2);
  CHECK(timeline.marks[0].severity == Severity::fail);
  CHECK(timeline.marks[0].time_s == Approx(100 + swing_s / 2).margin(0.1));
  const auto place = place_of_finding(passing_proof(), timeline.marks[0].finding);
  REQUIRE(place);
  CHECK(place->run == 0);
}
