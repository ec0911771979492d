// SPDX-License-Identifier: GPL-3.0-or-later
#include "window/desk/timeline.hpp"

#include "tests/support/passing_hand.hpp"
#include "window/desk/finding_places.hpp"
#include "window/desk/gap_plot.hpp"
#include "window/desk/playhead.hpp"

using namespace cellproof;

namespace {

const Proof& passing_proof() {
  static const Proof proof = test::proved_with_curves(test::passing_hand);
  return proof;
}

/// 30 degrees at 180 deg/s and 600 deg/s²: a triangle of speed, 2 √(30 / 600) s (derived).
const double swing_s = 2 * std::sqrt(30.0 / 600);

}  // namespace

TEST_CASE("A timeline has a cell's steps in order, each from where the last ends") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  REQUIRE(timeline.steps.size() == 3);
  CHECK(timeline.steps[0].name == "stand");
  CHECK(timeline.steps[1].name == "swing");
  CHECK(timeline.steps[1].start_s == Approx(100));
  CHECK(timeline.steps[1].end_s == Approx(100 + swing_s));
  CHECK(timeline.steps[2].end_s == Approx(timeline.duration_s));
  CHECK(step_at(timeline, 50) == 0);
  CHECK(step_at(timeline, 100 + swing_s / 2) == 1);
  CHECK(step_at(timeline, 1e6) == 2);
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
  const auto place = place_of_finding(passing_proof(), static_cast<std::size_t>(timeline.marks[0].finding));
  REQUIRE(place);
  CHECK(place->run == 0);
}

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

TEST_CASE("The plot's least clearance is the one that the finding tells, below the rule's line") {
  // The block hangs 3 mm over the post (derived, see passing_hand.hpp); the default rule is 5 mm.
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  CHECK(plot.rule_mm == 5);
  REQUIRE(plot.least_mm);
  CHECK(*plot.least_mm <= 3 + 1e-6);
  CHECK(*plot.least_mm > 2);
  CHECK(plot.spans.front().from == 0);
  CHECK(plot.spans.back().to == Approx(1));
  const auto over_post = gap_at(plot, (longest_still_s + swing_s / 2) / timeline.axis.length());
  REQUIRE(over_post);
  CHECK(*over_post <= 3);
  CHECK_FALSE(gap_at(plot, 2));
}

TEST_CASE("Spans of the plot follow each other without a hole") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  for (std::size_t i = 1; i < plot.spans.size(); ++i) CHECK(plot.spans[i].from == Approx(plot.spans[i - 1].to));
}

TEST_CASE("The way through the findings goes round and round") {
  CHECK(next_group(3, std::nullopt, false) == 0U);
  CHECK(next_group(3, std::nullopt, true) == 2U);
  CHECK(next_group(3, 2, false) == 0U);
  CHECK(next_group(3, 0, true) == 2U);
  CHECK_FALSE(next_group(0, std::nullopt, false));
}

TEST_CASE("Findings that say the same of several runs are one group with the worst in front") {
  Report report;
  const auto add = [&](Severity severity, const char* run, double measured) {
    Finding finding;
    finding.check = "clearance";
    finding.severity = severity;
    finding.run = run;
    finding.step = "pick";
    finding.between = {"hand", "post"};
    finding.time_s = 1;
    finding.measured = measured;
    finding.required = 5;
    report.findings.push_back(finding);
  };
  add(Severity::caution, "rack 1", 4);
  add(Severity::fail, "rack 1", 3);
  add(Severity::fail, "rack 2", 1);
  add(Severity::fail, "rack 3", 2);
  const auto groups = finding_groups(report);
  REQUIRE(groups.size() == 2);
  CHECK(groups[0].worst == 2);
  CHECK(groups[0].all == std::vector<std::size_t>{1, 2, 3});
  CHECK(groups[0].runs == std::vector<std::string>{"rack 1", "rack 2", "rack 3"});
  CHECK(report.findings[groups[1].worst].severity == Severity::caution);
}
