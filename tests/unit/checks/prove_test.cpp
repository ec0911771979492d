// SPDX-License-Identifier: GPL-3.0-or-later
// The one entry: the same on any number of threads, stopped when asked, errors with their place.
#include "checks/prove.hpp"

#include "tests/support/bar_past_wall.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("the report is the same to the last digit on one thread and on two") {
  const std::string cell = bar_past_wall(2) + "[[clearance]]\nbetween = [\"bar\", \"wall\"]\nleast = 5\n";
  const Report one = proof_of(cell, 1).report, two = proof_of(cell, 2).report;
  REQUIRE(one.steps.size() == two.steps.size());
  for (std::size_t i = 0; i < one.steps.size(); ++i) {
    const StepFigure &a = one.steps[i], &b = two.steps[i];
    CHECK(a.start_s == b.start_s);
    CHECK(a.end_s == b.end_s);
    CHECK(a.joints_end == b.joints_end);
    CHECK(a.limit_margin == b.limit_margin);
    CHECK(a.manipulability == b.manipulability);
    REQUIRE(a.clearance.has_value() == b.clearance.has_value());
    if (!a.clearance) continue;
    CHECK(a.clearance->lower_mm == b.clearance->lower_mm);
    CHECK(a.clearance->upper_mm == b.clearance->upper_mm);
    CHECK(a.clearance->between == b.clearance->between);
    CHECK(a.clearance->time_s == b.clearance->time_s);
    CHECK(a.clearance->points == b.clearance->points);
  }
  REQUIRE(one.findings.size() == two.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i) {
    CHECK(one.findings[i].message == two.findings[i].message);
    CHECK(one.findings[i].judged == two.findings[i].judged);
  }
}

TEST_CASE("a stopped proof says that it is cancelled") {
  std::stop_source source;
  source.request_stop();
  Run run;
  run.threads = 1;
  run.stop = source.get_token();
  const auto proof = prove(cell_of(bar_past_wall(2)), run);
  REQUIRE(proof);
  CHECK(proof->cancelled);
  CHECK_FALSE(proof->report.pass);
  // And one that is stopped on its way.
  std::stop_source later;
  run.stop = later.get_token();
  int told = 0;
  run.progress = [&](double, const std::string&) {
    if (++told == 2) later.request_stop();
  };
  const auto half = prove(cell_of(bar_past_wall(2)), run);
  REQUIRE(half);
  CHECK(half->cancelled);
}

TEST_CASE("a cell without a cycle is an error that says what to add") {
  const auto proof = prove(cell_of(head));
  REQUIRE_FALSE(proof);
  CHECK(proof.error().file == "cell.toml");
  CHECK(proof.error().key == "cycle");
  CHECK_FALSE(proof.error().what.empty());
  CHECK_FALSE(proof.error().mend.empty());
}

TEST_CASE("a model that is not there is an error with file, line and key") {
  const auto proof = prove(cell_of(head + "[[body]]\nname = \"table\"\nmesh = \"nowhere.stl\"\nmesh_unit = \"mm\"\n" +
                                   cycle_from("0, 0, 0, 0, -90, 0")));
  REQUIRE_FALSE(proof);
  CHECK(proof.error().file == "cell.toml");
  CHECK(proof.error().line >= 12);
  CHECK(proof.error().line <= 14);
  CHECK(proof.error().key.find("table") != std::string::npos);
  CHECK(proof.error().text().find("nowhere.stl") != std::string::npos);
}

TEST_CASE("a cycle without steps passes, takes no time, and has nothing to show") {
  const Report report = proof_of(head + cycle_from("0, 0, 0, 0, -90, 0")).report;
  CHECK(report.pass);
  CHECK(report.steps.empty());
  CHECK(report.cycle_time_s == 0);
  const auto cautions = findings_of(report, "sequence");
  REQUIRE(cautions.size() == 1);
  CHECK(cautions[0].severity == Severity::caution);
  CHECK(cautions[0].message.find("has no steps") != std::string::npos);
}
