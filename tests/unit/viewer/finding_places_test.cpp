// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/finding_places.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

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
