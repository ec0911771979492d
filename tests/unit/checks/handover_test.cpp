// SPDX-License-Identifier: GPL-3.0-or-later
// The block is never unheld: every handover that would leave it so is found.
#include "tests/support/hold_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::vector<Finding> found(const HoldCell& cell, Severity severity) {
  std::vector<Finding> mine;
  for (const auto& finding : proved(cell.text()).report.findings)
    if (finding.check == Check::sequence && finding.severity == severity &&
        finding.message.find("does not end where it starts") == std::string::npos)
      mine.push_back(finding);
  return mine;
}

void check_only(const HoldCell& cell, Severity severity, const std::string& what) {
  const auto mine = found(cell, severity);
  REQUIRE(mine.size() == 1);
  CHECK(mine.front().message.find(what) != std::string::npos);
  CHECK_FALSE(mine.front().mend.empty());
}

}  // namespace

TEST_CASE("a handover in good order has no finding") {
  CHECK(found(HoldCell{}, Severity::fail).empty());
  CHECK(found(HoldCell{}, Severity::caution).empty());
}

TEST_CASE("work on a block that its fixture does not hold fails") {
  HoldCell cell;
  cell.place.clear();
  cell.pick_again.clear();
  check_only(cell, Severity::fail, "the machine works on 'block' while 'vise' does not hold it");
}

TEST_CASE("a block drawn out of a fixture that still holds fails, and the hold is left on") {
  HoldCell cell;
  cell.pick_again.clear();
  check_only(cell, Severity::fail, "while 'vise' still holds it");
  check_only(cell, Severity::caution, "still holds when the cycle ends");
}

TEST_CASE("a release before the vacuum can stand fails, and the printed wait mends it") {
  // derived: (2 L / 30 L/min) ln(101325/41325) = 3.588 s
  HoldCell cell;
  cell.zone += "volume = 2\nflow = 30\n";
  check_only(cell, Severity::fail, "its vacuum needs 3.59 s");
  const double wait = printed(found(cell, Severity::fail).front().mend, "confirm");
  CHECK(wait >= 3.588);
  cell.place = fmt::format("hold = \"vise\"\nconfirm = {}\n", wait);
  CHECK(found(cell, Severity::fail).empty());
}

TEST_CASE("a release without waiting is a caution") {
  HoldCell cell;
  cell.place = "hold = \"vise\"\n";
  check_only(cell, Severity::caution, "without waiting for 'vise'");
}

TEST_CASE("a block let go on a slope without a hold is told") {
  HoldCell cell;
  cell.seat_turn = "[0, 8, 0]";
  cell.place.clear();
  cell.pick_again.clear();
  cell.works = false;
  check_only(cell, Severity::caution, "tilted by 8.0 deg");
}

TEST_CASE("a hold that does not hold can't let go") {
  HoldCell cell;
  cell.place.clear();
  cell.works = false;
  check_only(cell, Severity::caution, "does not hold then");
}
