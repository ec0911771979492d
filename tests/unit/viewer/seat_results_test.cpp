// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/seat_results.hpp"

#include "tests/support/passing_hand.hpp"

using namespace cellproof;

namespace {

StepFigure step_of(const char* run, const char* others, double gap_mm) {
  StepFigure step;
  step.run = run;
  step.others = others;
  step.clearance = ClearanceFigure{};
  step.clearance->lower_mm = gap_mm;
  return step;
}

Finding failure(const char* run, const char* others) {
  Finding finding;
  finding.check = Check::clearance;
  finding.run = run;
  finding.others = others;
  finding.step = "pick";
  return finding;
}

Proof of_three_seats() {
  Proof proof;
  auto cycle = std::make_shared<Cycle>();
  for (const char* run : {"rack 1", "rack 2", "rack 3"}) {
    cycle->runs.emplace_back();
    cycle->runs.back().name = run;
    cycle->runs.back().duration_s = 12;
  }
  proof.cycle = cycle;
  proof.report.steps = {step_of("rack 1", "", 9), step_of("rack 2", "", 4), step_of("rack 3", "", 7)};
  proof.report.findings = {failure("rack 2", "")};
  return proof;
}

}  // namespace

TEST_CASE("seats are told worst first: what fails, then what comes closest") {
  const auto seats = seat_results(of_three_seats());
  REQUIRE(seats.size() == 3);
  CHECK(seats[0].run == "rack 2");
  CHECK(seats[0].fails == 1);
  CHECK(seats[0].first == "clearance at \"pick\"");
  CHECK(seats[1].run == "rack 3");
  CHECK(seats[1].gap_mm == 7);
  CHECK(seats[2].run == "rack 1");
  CHECK(seats[2].duration_s == 12);
  CHECK(count_words(of_three_seats(), seats) == ", 1 thing to change, 2 of 3 seats pass");
}

TEST_CASE("of several fillings the one with what fails is shown, else the one that comes closest") {
  Report report;
  report.steps = {step_of("rack 1", "none", 9), step_of("rack 1", "board", 6)};
  CHECK(worst_filling(report, "rack 1") == "board");
  report.findings = {failure("rack 1", "none")};
  CHECK(worst_filling(report, "rack 1") == "none");
  CHECK(filling_words("none") == ", the other seats empty");
  CHECK(filling_words("board") == ", 'board' in the other seats");
  CHECK(filling_words("").empty());
}
