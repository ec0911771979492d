// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/playhead.hpp"

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::passing_proof;
using test::swing_s;

TEST_CASE("Playing goes along the line as drawn and stops at its end") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  Playhead head = toggled(Playhead{}, timeline);
  REQUIRE(head.playing);
  head = advanced(head, timeline, longest_still_s / 2);
  CHECK(head.time_s == Approx(50));
  head = advanced(head, timeline, longest_still_s / 2 + swing_s / 2);
  CHECK(head.time_s == Approx(100 + swing_s / 2));
  head = advanced(head, timeline, 60);
  CHECK_FALSE(head.playing);
  CHECK(head.time_s == timeline.duration_s);
  // From the end it plays from the start.
  CHECK(toggled(head, timeline).time_s == 0);
}

TEST_CASE("Scrubbing stops the playing and is held within the line") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const Playhead playing = toggled(Playhead{}, timeline);
  CHECK_FALSE(scrubbed(playing, timeline, 0.5).playing);
  CHECK(scrubbed(playing, timeline, 7).time_s == Approx(timeline.duration_s));
  CHECK(scrubbed(playing, timeline, -7).time_s == 0);
}

TEST_CASE("A paused head stays where it is") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  CHECK(advanced(Playhead{0, 12.5, false, 1}, timeline, 3).time_s == 12.5);
}
