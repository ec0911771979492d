// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/gap_plot.hpp"

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::passing_proof;
using test::swing_s;

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
