// SPDX-License-Identifier: GPL-3.0-or-later
// Where a part is let go something must hold it.
#include <catch2/catch.hpp>

#include "tests/support/hold_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A block, 150 x 100 x 25, comes to lie on a fixture's top, 160 x 110, and is taken again.
struct ReleaseCell {
  std::string at = "[0, 0, 12.5]";  ///< of the block's middle on the seat
  std::string place;                ///< further keys of the place
  std::string seat_on = "fixture", seat_at = "[0, 0, 45]";
  std::string density = "density = 2700";
  std::string more;

  std::string text() const {
    HoldCell cell;
    cell.place = place;
    cell.pick_again.clear();
    cell.works = false;
    cell.more = more;
    std::string all = cell.text();
    replace(all, "at = { xyz = [0, 0, 12.5] }\napproach", "at = { xyz = " + at + " }\napproach");
    replace(all, "name = \"on the fixture\"\non = \"fixture\"\nat = { xyz = [0, 0, 45]",
            "name = \"on the fixture\"\non = \"" + seat_on + "\"\nat = { xyz = " + seat_at);
    for (int i = 0; i < 2; ++i) replace(all, "\ndensity = 2700", "\n" + density + " ");
    return all;
  }
  static void replace(std::string& text, const std::string& what, const std::string& by) {
    const auto found = text.find(what);
    if (found == std::string::npos) FAIL("no " << what);
    text.replace(found, what.size(), by);
  }
};

const ReleaseFigure& placed(const Report& report) {
  for (const auto& release : report.releases)
    if (release.step == "place") return release;
  FAIL("no release");
  return report.releases.front();
}

Finding only(const ReleaseCell& cell, Severity severity) {
  const auto findings = findings_of(proved(cell.text()).report, "release");
  if (findings.size() != 1) FAIL(findings.size() << " findings");
  CHECK(findings[0].severity == severity);
  CHECK(findings[0].step == "place");
  CHECK(findings[0].between[0] == "block");
  return findings[0];
}

bool says(const Finding& finding, const std::string& words) {
  return finding.message.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("a block let go on the middle of a fixture stays: how far its centre stands from the edge is told") {
  const Proof proof = proved(ReleaseCell().text());
  CHECK(findings_of(proof.report, "release").empty());
  REQUIRE(proof.report.releases.size() == 2);  // at the start, and where it is let go
  CHECK(proof.report.releases[0].step.empty());
  CHECK(proof.report.releases[0].rests_on == std::vector<std::string>{"stand"});
  const ReleaseFigure& release = placed(proof.report);
  CHECK(release.held_by == "contact");
  CHECK(release.rests_on == std::vector<std::string>{"fixture"});
  CHECK(*release.centre_inside_mm == Approx(50).margin(0.02));
  CHECK_FALSE(release.friction);
}

TEST_CASE("a block with its centre past the edge fails, by how much") {
  ReleaseCell cell;
  cell.at = "[0, -60, 12.5]";  // the fixture ends at y = -55
  const Finding finding = only(cell, Severity::fail);
  CHECK(finding.judged->measured == Approx(-5).margin(0.02));
  CHECK(says(finding, "5.00 mm past the edge"));
  CHECK(finding.between[1] == "fixture");
  CHECK(finding.mend.find("along world y") != std::string::npos);
}

TEST_CASE("a centre hardly within the edge is a caution") {
  ReleaseCell cell;
  cell.at = "[0, -54.4, 12.5]";
  const Finding finding = only(cell, Severity::caution);
  CHECK(finding.judged->measured == Approx(0.6).margin(0.02));
  cell.at = "[0, -53, 12.5]";
  CHECK(findings_of(proved(cell.text()).report, "release").empty());
}

TEST_CASE("a block let go in mid-air fails, with the height") {
  ReleaseCell cell;
  cell.at = "[0, 0, 17.5]";
  const Finding finding = only(cell, Severity::fail);
  CHECK(finding.judged->measured == Approx(5));
  CHECK(says(finding, "in mid-air"));
  CHECK(says(finding, "5.00 mm above 'fixture'"));
  CHECK(finding.mend.find("drop = \"5 mm\"") != std::string::npos);
}

TEST_CASE("a block that is dropped on purpose may fall as far as is said, no further") {
  ReleaseCell cell;
  cell.at = "[0, 0, 17.5]";
  cell.place = "drop = \"5 mm\"\n";
  const Proof proof = proved(cell.text());
  CHECK(findings_of(proof.report, "release").empty());
  CHECK(placed(proof.report).held_by == "drop");
  CHECK(*placed(proof.report).air_mm == Approx(5));
  cell.place = "drop = \"4.9 mm\"\n";
  const Finding finding = only(cell, Severity::fail);
  CHECK(finding.judged->measured == Approx(5));
  CHECK(*finding.judged->required == Approx(4.9));
}

TEST_CASE("a seat of the world above a body is mid-air too, and far from everything nothing modelled holds the part") {
  ReleaseCell cell;
  cell.seat_on = "world";
  cell.seat_at = "[790, 300, 965]";  // the fixture's top is at 945
  CHECK(says(only(cell, Severity::fail), "20.00 mm above 'fixture'"));
  cell.seat_at = "[790, 300, 1145]";  // 200 above, more than the block's own size
  cell.place = "";
  CHECK(says(only(cell, Severity::caution), "nothing modelled holds 'block'"));
}

TEST_CASE("a hold that takes the block is enough, whatever it lies on") {
  ReleaseCell cell;
  cell.at = "[0, -60, 12.5]";
  cell.place = "hold = \"vise\"\nconfirm = 1\n";
  const Proof proof = proved(cell.text());
  CHECK(findings_of(proof.report, "release").empty());
  CHECK(placed(proof.report).held_by == "hold");
  CHECK(placed(proof.report).hold == "vise");
}

TEST_CASE("without a mass the middle of the volume counts") {
  ReleaseCell cell;
  cell.density = "";
  cell.at = "[0, -60, 12.5]";
  CHECK(says(only(cell, Severity::fail), "5.00 mm past the edge"));
}

TEST_CASE("a part that lies past the edge at the start fails there") {
  std::string text = ReleaseCell().text();
  // the block's place on the stand, 300 wide: its centre 152 off the middle
  ReleaseCell::replace(text, "seat = \"nest\"\nat = { xyz = [0, 0, 12.5] }",
                       "seat = \"nest\"\nat = { xyz = [0, -152, 12.5] }");
  const Proof proof = proof_of(text);
  const auto fails = fails_of(proof.report, "release");
  REQUIRE_FALSE(fails.empty());
  CHECK(fails[0].step.empty());
  CHECK(fails[0].judged->measured == Approx(-2).margin(0.02));
}

TEST_CASE("what the machine leaves behind must lie too") {
  HoldCell cell;
  cell.place = "";
  cell.pick_again.clear();
  cell.more = "";
  std::string text = cell.text();
  // worked into a thin one: its seat pose is the block's, so that it hangs 7.5 above the fixture
  const auto worked = text.find("name = \"worked\"\nbox = [150, 100, 25]");
  REQUIRE(worked != std::string::npos);
  text.replace(worked, std::string("name = \"worked\"\nbox = [150, 100, 25]").size(),
               "name = \"worked\"\nbox = [150, 100, 10]");
  const auto fails = fails_of(proof_of(text).report, "release");
  REQUIRE(fails.size() == 1);
  CHECK(fails[0].step == "mill");
  CHECK(fails[0].judged->measured == Approx(7.5));
}

TEST_CASE("what is brought must lie too") {
  std::string text = ReleaseCell().text();
  text += "[[part]]\nname = \"second\"\nbox = [40, 40, 10]\n";
  text += "[[seat]]\nname = \"shelf\"\non = \"stand\"\nat = { xyz = [-100, -100, 45] }\n";
  text += "[[step]]\nname = \"bring\"\nbring = \"second\"\nseat = \"shelf\"\nat = { xyz = [0, 0, 8] }\n";
  const auto fails = fails_of(proof_of(text).report, "release");
  REQUIRE(fails.size() == 1);
  CHECK(fails[0].step == "bring");
  CHECK(fails[0].judged->measured == Approx(3));
}
