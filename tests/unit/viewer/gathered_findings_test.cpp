// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gathered_findings.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

Finding clearance(const char* run, const char* step, double measured, double required = 5) {
  Finding finding;
  finding.check = Check::clearance;
  finding.run = run;
  finding.step = step;
  finding.between = {"hand", "post"};
  finding.time_s = 1.5;
  finding.judged = {measured, required, "mm"};
  return finding;
}

}  // namespace

TEST_CASE("what is said of one pair in many runs is said once, by the worst") {
  const std::vector<Finding> findings{clearance("rack 1", "pick", 3), clearance("rack 2", "pick", 1),
                                      clearance("rack 2", "place", 2)};
  const auto gathered = gather(findings, Severity::fail);
  REQUIRE(gathered.size() == 1);
  CHECK(gathered[0].worst == 1);
  CHECK(gathered[0].all == std::vector<std::size_t>{0, 1, 2});
  CHECK(gathered[0].runs == std::vector<std::string>{"rack 1", "rack 2"});
  CHECK(where_words(findings, gathered[0]) == "step \"pick\", at 1.50 s, rack 2 (worst of 2 seats)");
  CHECK(gather(findings, Severity::caution).empty());
}

TEST_CASE("another rule, or another pair, is another thing") {
  std::vector<Finding> findings{clearance("", "pick", 3), clearance("", "pick", 3, 20)};
  CHECK(gather(findings, Severity::fail).size() == 2);
  findings[1] = clearance("", "pick", 3);
  findings[1].between = {"hand", "table"};
  CHECK(gather(findings, Severity::fail).size() == 2);
}

TEST_CASE("where more is worse the most speaks for all") {
  Finding slow = clearance("", "swing", 110, 100), fast = clearance("", "swing", 150, 100);
  const auto gathered = gather({slow, fast}, Severity::fail);
  REQUIRE(gathered.size() == 1);
  CHECK(gathered[0].worst == 1);
  CHECK(where_words({slow, fast}, gathered[0]) == "step \"swing\", at 1.50 s (worst of 2 moves)");
}

TEST_CASE("what fails comes before cautions, each with its own worst") {
  std::vector<Finding> findings{clearance("rack 1", "pick", 4), clearance("rack 1", "pick", 3),
                                clearance("rack 2", "pick", 1)};
  findings[0].severity = Severity::caution;
  const auto all = gather(findings);
  REQUIRE(all.size() == 2);
  CHECK(all[0].worst == 2);
  CHECK(findings[all[1].worst].severity == Severity::caution);
}

TEST_CASE("what follows from another comes last and says so") {
  std::vector<Finding> findings{clearance("", "pick", 3), clearance("", "pick", 1)};
  findings[1].between = {"camera", "post"};
  findings[0].follows_from = 1;
  const auto gathered = gather(findings, Severity::fail);
  REQUIRE(gathered.size() == 2);
  CHECK(gathered[0].worst == 1);
  CHECK(root_words(findings, gathered, 0) == "this also clears 2");
  CHECK(root_words(findings, gathered, 1) == "goes with 1: what mends that clears this too");
}

TEST_CASE("one body and many parts are one thing, the others are named beside the worst") {
  std::vector<Finding> findings{clearance("rack 1", "pick", 3), clearance("rack 2", "place", 1)};
  findings[0].between = {"finger", "raw bar"};
  findings[1].between = {"finger", "milled bar"};
  for (Finding& finding : findings) finding.about = {"finger", "a part"};
  const auto gathered = gather(findings, Severity::fail);
  REQUIRE(gathered.size() == 1);
  CHECK(where_words(findings, gathered[0]) ==
        "step \"place\", at 1.50 s, rack 2 (worst of 2 seats); also finger / raw bar");
}
