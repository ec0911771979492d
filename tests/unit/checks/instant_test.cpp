// SPDX-License-Identifier: GPL-3.0-or-later
// What is nearest at one instant.
#include "checks/instant.hpp"

#include "tests/support/bar_past_wall.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("at one instant of a shift what has been shifted counts where it has come to") {
  // Given a slide that comes 200 mm nearer to a lying brick, from 300 mm.
  const Proof proof = proof_of(head + body_text("slide", "world", "{ xyz = [2000, 0, 0] }", "box = [20, 20, 20]") +
                               body_text("shelf", "world", "{ xyz = [2320, 0, -100] }", "box = [20, 20, 20]") + R"(
[[seat]]
name = "spot"
on = "shelf"
at = { xyz = [0, 0, 100] }
[[part]]
name = "brick"
box = [20, 20, 20]
seat = "spot"
)" + cycle_from("0, 0, 0, 0, -90, 0") +
                               "[[step]]\nshift = \"slide\"\nto = { xyz = [2200, 0, 0] }\ntime = \"2 s\"\n");
  const Stretch& stretch = proof.cycle->runs.front().stretches.front();
  for (const double time : {0.0, 0.5, 1.0, 2.0}) {
    CAPTURE(time);
    const auto now = instant_clearance(*proof.scene, stretch, time);
    REQUIRE(now);
    CHECK(now->upper_mm == Approx(300 - 100 * time));
  }
  REQUIRE(proof.report.steps.front().clearance);
  CHECK(proof.report.steps.front().clearance->lower_mm == Approx(100).margin(2));
}

TEST_CASE("what is nearest at one instant lies within what is certified for the step") {
  const Proof proof = proof_of(bar_past_wall(3));
  const CycleRun& run = proof.cycle->runs.front();
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    if (stretch.kind != StretchKind::joint) continue;
    for (int i = 0; i <= 20; ++i) {
      const auto now =
          instant_clearance(*proof.scene, stretch, stretch.start_s + (stretch.end_s - stretch.start_s) * i / 20);
      REQUIRE(now);
      CHECK(now->upper_mm >= proof.report.steps[s].clearance->lower_mm - 1e-9);
    }
  }
}
