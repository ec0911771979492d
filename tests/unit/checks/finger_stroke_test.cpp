// SPDX-License-Identifier: GPL-3.0-or-later
// A tool's fingers that close until they meet the part.
#include "tests/support/vise_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// How far the inner face of a tool's finger stands from the bar's nearer face (mm), after the grip of a step.
double gap_after_grip(const Proof& proof, const std::string& step, const std::string& finger, double half_width) {
  const Stretch& grip = *stretch_of(proof, StretchKind::grip, step);
  const double apart = place_of(proof, grip, 1, finger).x() - place_of(proof, grip, 1, "bar").x();
  return std::abs(apart) - 5 - half_width;
}

}  // namespace

TEST_CASE("with a stroke the fingers stop at the part, a thousandth before it at the most") {
  // Drawn 50 mm apart, 20 mm open on each side: 90 mm. The bar is 60 mm wide, so that each closes by 15 mm.
  ViseCell cell;
  cell.tool_drawn_mm = 50;
  cell.tool_stroke = "stroke = 25";
  const Proof proof = proved(cell.text());
  for (const char* step : {"take", "fetch"})
    for (const char* finger : {"left finger", "right finger"}) {
      const double gap = gap_after_grip(proof, step, finger, 30);
      CHECK(gap >= 0);
      CHECK(gap <= 1e-3);
    }
  CHECK(fails_of(proof.report, "clearance").empty());
  // There they stay while the part is held, and open they stand where the file says.
  const Stretch& release = *stretch_of(proof, StretchKind::release, "set");
  CHECK(std::abs(place_of(proof, release, 0, "left finger").x() - 790) == Approx(35).margin(1e-3));
  CHECK(std::abs(place_of(proof, release, 1, "left finger").x() - 790) == Approx(50));
}

TEST_CASE("without a stroke they close to where they are drawn, as ever") {
  ViseCell cell;
  cell.tool_drawn_mm = 59.6;  // 0.2 mm into the bar on each side
  const Proof proof = proved(cell.text());
  CHECK(gap_after_grip(proof, "take", "left finger", 30) == Approx(-0.2).margin(1e-9));
}

TEST_CASE("a stroke that ends before the part leaves the finger there, one beyond the drawn place is used") {
  ViseCell cell;
  cell.tool_stroke = "stroke = 12";  // 20 mm open, drawn on the bar: 8 mm are missing
  CHECK(gap_after_grip(proved(cell.text()), "take", "left finger", 30) == Approx(8).margin(1e-6));
  cell.tool_drawn_mm = 70;  // drawn 5 mm off the bar on each side, 25 mm off while they are open
  cell.tool_stroke = "stroke = 40";
  CHECK(gap_after_grip(proved(cell.text()), "take", "left finger", 30) == Approx(0).margin(1e-3));
  cell.tool_stroke = "stroke = 20";
  CHECK(gap_after_grip(proved(cell.text()), "take", "left finger", 30) == Approx(5).margin(1e-6));
}

TEST_CASE("each finger closes by itself, and what rides on it is met with it") {
  ViseCell cell;
  cell.tool_drawn_mm = 50;
  cell.tool_stroke = "stroke = 25";
  cell.more = body_text("pad", "left finger", "{ xyz = [6, 0, 20] }", "box = [2, 10, 10]");  // 2 mm ahead of its face
  const Proof proof = proved(cell.text());
  const double left = gap_after_grip(proof, "take", "left finger", 30),
               right = gap_after_grip(proof, "take", "right finger", 30);
  CHECK(std::max(left, right) == Approx(2).margin(1e-3));
  CHECK(std::min(left, right) == Approx(0).margin(1e-3));
}

TEST_CASE("what stands in the way of a closing finger is struck, whatever the part stops it at") {
  ViseCell cell;
  cell.tool_drawn_mm = 50;
  cell.tool_stroke = "stroke = 25";
  // The finger's inner face goes from 45 mm beside the bar's middle to 30 mm; the pin stands at 38 mm, beside the bar.
  cell.more = body_text("pin", "world", "{ xyz = [752, 0, 925] }", "box = [2, 4, 20]");
  const auto struck = fails_of(proved(cell.text()).report, "clearance");
  const auto of_pin = std::ranges::count_if(
      struck, [](const Finding& finding) { return finding.between[0] == "pin" || finding.between[1] == "pin"; });
  CHECK(of_pin > 0);
}

TEST_CASE("the fingers of all seats stop alike, to the bit") {
  ViseCell cell;
  cell.tool_drawn_mm = 50;
  cell.tool_stroke = "stroke = 25";
  const Proof proof = proved(cell.text());
  const auto closed = [&](const char* step) {
    const Stretch& grip = *stretch_of(proof, StretchKind::grip, step);
    return Pose(grip.shifts.front().to).matrix();
  };
  CHECK(closed("take") == closed("fetch"));  // from two seats by one grasp
}
