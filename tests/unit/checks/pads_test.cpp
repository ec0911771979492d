// SPDX-License-Identifier: GPL-3.0-or-later
// A jaw passes only where its pads meet the part.
#include <catch2/catch.hpp>

#include "tests/support/hold_cell.hpp"
#include "tests/support/jaw_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::vector<Finding> about_pads(const Report& report, const std::string& check = "grip") {
  auto mine = findings_of(report, check);
  std::erase_if(mine, [](const Finding& finding) {
    return finding.message.find("pads of") == std::string::npos && finding.message.find("meets") == std::string::npos;
  });
  return mine;
}

/// The jaw's `at` so far below the block's top.
std::string with_pad(const std::string& pad, double below) {
  JawCell cell;
  cell.jaw = "pad = " + pad + "\n";
  std::string text = cell.text();
  const std::string at = "at = { xyz = [0, 0, 100] }\nforce";
  const auto place = text.find(at);
  if (place == std::string::npos) FAIL("no jaw");
  return text.replace(place, at.size(), fmt::format("at = {{ xyz = [0, 0, {}] }}\nforce", 100 + below));
}

}  // namespace

TEST_CASE("fingers drawn closed on the block pass, and the area is told") {
  const Proof proof = proved(JawCell().text());
  CHECK(about_pads(proof.report).empty());
  REQUIRE(proof.report.grips.size() == 1);
  // 20 along y, 15 below the block's top
  CHECK(*proof.report.grips[0].pad_contact_mm2 == Approx(300));
  REQUIRE(proof.report.grips[0].pads.size() == 2);
  CHECK(proof.report.grips[0].pads[0].bodies == std::vector<std::string>{"left finger"});
}

TEST_CASE("a pad told larger than what meets the part fails: what turns in it is not held there") {
  // the fingers are 20 along y and reach 15 below the block's top, about which the jaw stands
  CHECK(about_pads(proved(with_pad("[20, 15]", 7.5)).report).empty());
  const auto findings = about_pads(proved(with_pad("[20, 30]", 7.5)).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].judged->measured == Approx(300));
  CHECK_THAT(findings[0].message, Catch::Contains("20 by 30 mm"));
}

TEST_CASE("pads that meet the part beside the jaw's x fail where the turn is judged about it") {
  const auto findings = about_pads(proved(with_pad("[20, 15]", 0)).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].judged->measured == Approx(7.5));
  CHECK(about_pads(proved(with_pad("[20, 15]", 7)).report).empty());  // half a millimetre of 15
  CHECK(about_pads(proved(JawCell().text()).report).empty());         // without `pad` no turn is judged
}

TEST_CASE("a bar of 30 between pads 40 apart fails: the width to draw is told") {
  JawCell cell;
  cell.left = cell.right = 20;
  const auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].between == std::vector<std::string>{"jaws", "block"});
  CHECK(findings[0].judged->measured == Approx(5));
  CHECK(findings[0].judged->required == 0.5);
  CHECK(findings[0].message.find("5.00 mm of air at 'left finger', 5.00 mm of air at 'right finger'") !=
        std::string::npos);
  CHECK(findings[0].mend.find("30.00 mm apart") != std::string::npos);
}

TEST_CASE("a finger whose pad is cut away leaves its side without contact") {
  JawCell cell;
  cell.right = 17;
  const auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].message.find("2.00 mm of air at 'right finger'") != std::string::npos);
  CHECK(findings[0].mend.find("2.00 mm nearer") != std::string::npos);
}

TEST_CASE("a finger at the end of its stroke presses on nothing, however near the part it stands") {
  // given fingers that stand open 9 beyond where they are drawn, closed on 30
  JawCell cell;
  const auto with_strokes = [&](double left, double right) {
    cell.fingers = fmt::format(
        "fingers = [ {{ body = \"left finger\", open = [-9, 0, 0], stroke = {} }}, {{ body = \"right finger\", open = "
        "[9, 0, 0], stroke = {} }} ]\n",
        left, right);
    return fails_of(proved(cell.text()).report, "grip");
  };
  CHECK(with_strokes(12, 12).empty());
  const auto found = with_strokes(8.9, 12);  // derived: 0.1 short, well within contact_depth
  REQUIRE(found.size() == 1);
  CHECK(found[0].message.find("'left finger' comes to the end of its stroke 0.100 mm off 'block'") !=
        std::string::npos);
  CHECK(found[0].mend.find("0.11 mm longer") != std::string::npos);
}

TEST_CASE("fingers that end above the part do not hold it") {
  JawCell cell;
  cell.reach = -2;
  const auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].message.find("no pad stands opposite") != std::string::npos);
}

TEST_CASE("a small contact is a caution, and a fail against `pad_area`") {
  JawCell cell;
  cell.reach = 0.8;  // 20 x 0.8 = 16 mm^2
  auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::caution);
  CHECK(findings[0].judged->measured == Approx(16));
  cell.jaw = "pad_area = \"1 cm^2\"\n";
  findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].judged->required == Approx(100));
  CHECK(findings[0].judged->unit == "mm^2");
  cell.jaw = "pad_area = 15.9\n";
  CHECK(about_pads(proved(cell.text()).report).empty());
}

TEST_CASE("a contact on a tenth of the pad's face is a caution, however large") {
  JawCell cell;
  cell.reach = 3.9;  // of 20 x 40
  CHECK(about_pads(proved(cell.text()).report).size() == 1);
  cell.reach = 4.1;
  CHECK(about_pads(proved(cell.text()).report).empty());
}

TEST_CASE("a jaw without modelled pads is a caution: nothing was looked at") {
  JawCell cell;
  cell.with_fingers = false;
  cell.fingers = cell.touch = "";
  const auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::caution);
  CHECK(findings[0].message.find("not looked at") != std::string::npos);
}

TEST_CASE("without `touch` and `fingers` any body of the tool that stands opposite the part is asked") {
  JawCell cell;
  cell.fingers = cell.touch = "";
  CHECK(about_pads(proved(cell.text()).report).empty());
  cell.left = 20;
  const auto findings = about_pads(proved(cell.text()).report);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::fail);
}

TEST_CASE("a hold by a jaw is asked the same of its fingers, as placed and as machined") {
  HoldCell cell;
  cell.way = "jaw = \"vise jaws\"";
  const auto vise = [](double half) {
    return body_text("fixed jaw", "fixture", fmt::format("{{ xyz = [{}, 0, 57.5] }}", -half - 5),
                     "box = [10, 60, 15]") +
           body_text("moving jaw", "fixture", fmt::format("{{ xyz = [{}, 0, 57.5] }}", half + 5),
                     "box = [10, 60, 15]") +
           "[[jaw]]\nname = \"vise jaws\"\non = \"fixture\"\nat = { xyz = [0, 0, 57.5] }\nforce = 4000\nfriction = "
           "0.2\n"
           "fingers = [ { body = \"fixed jaw\", open = [0, 0, 0] }, { body = \"moving jaw\", open = [0, 0, 0] } ]\n";
  };
  cell.more = vise(75);  // the block is 150 long, 25 high
  Proof proof = proved(cell.text());
  CHECK(about_pads(proof.report, "hold").empty());
  REQUIRE(proof.report.holds.size() == 1);
  CHECK(*proof.report.holds.at(0).pad_contact_mm2 == Approx(60 * 15));
  cell.more = vise(76);
  const auto findings = about_pads(proved(cell.text()).report, "hold");
  REQUIRE(findings.size() == 2);  // the block, and what it is worked into
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].judged->measured == Approx(1));
}

TEST_CASE("a vise's fixed jaw is a pad though only the moving one is a finger") {
  HoldCell cell;
  cell.way = "jaw = \"vise jaws\"";
  const auto vise = [](double fixed_at) {
    return body_text("fixed jaw", "fixture", fmt::format("{{ xyz = [{}, 0, 57.5] }}", -fixed_at - 5),
                     "box = [10, 60, 15]") +
           body_text("moving jaw", "fixture", "{ xyz = [80, 0, 57.5] }", "box = [10, 60, 15]") +
           "[[jaw]]\nname = \"vise jaws\"\non = \"fixture\"\nat = { xyz = [0, 0, 57.5] }\nforce = 4000\nfriction = "
           "0.2\n"
           "fingers = [ { body = \"moving jaw\", open = [0, 0, 0] } ]\n";
  };
  cell.more = vise(75);  // the block is 150 long
  const Proof proof = proved(cell.text());
  CHECK(about_pads(proof.report, "hold").empty());
  CHECK(*proof.report.holds.at(0).pad_contact_mm2 == Approx(60 * 15));
  cell.more = vise(78);
  const auto findings = about_pads(proved(cell.text()).report, "hold");
  REQUIRE_FALSE(findings.empty());
  CHECK(findings[0].severity == Severity::fail);
}
