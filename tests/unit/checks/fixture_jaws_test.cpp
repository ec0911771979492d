// SPDX-License-Identifier: GPL-3.0-or-later
// The jaws of a vise close about a part in the tool's hand and open before it is lifted.
#include "tests/support/vise_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::vector<StretchKind> kinds_of(const Proof& proof, const std::string& step) {
  std::vector<StretchKind> kinds;
  for (const Stretch& stretch : proof.cycle->runs.front().stretches)
    if (stretch.step == step && stretch.kind != StretchKind::joint && stretch.kind != StretchKind::linear)
      kinds.push_back(stretch.kind);
  return kinds;
}

bool is_of(const Finding& finding, const std::string& a, const std::string& b) {
  return finding.between == std::vector<std::string>{a, b} || finding.between == std::vector<std::string>{b, a};
}

std::vector<Finding> fails_between(const Proof& proof, const std::string& a, const std::string& b) {
  auto found = fails_of(proof.report, "clearance");
  std::erase_if(found, [&](const Finding& finding) { return !is_of(finding, a, b); });
  return found;
}

}  // namespace

TEST_CASE(
    "a vise closes after the part has arrived and before the tool lets go, and opens after the tool has gripped") {
  ViseCell cell;
  cell.hold = "hold_time = \"2 s\"\n";
  const Proof proof = proved(cell.text());
  CHECK(fails_of(proof.report, "clearance").empty());
  CHECK(kinds_of(proof, "set") == std::vector<StretchKind>{StretchKind::hold, StretchKind::release});
  CHECK(kinds_of(proof, "fetch") == std::vector<StretchKind>{StretchKind::grip, StretchKind::unhold});
  const Stretch &hold = *stretch_of(proof, StretchKind::hold, "set"),
                &release = *stretch_of(proof, StretchKind::release, "set"),
                &unhold = *stretch_of(proof, StretchKind::unhold, "fetch");
  // Closing takes the hold's 2 s, then the place's confirm of 1 s is waited for.
  CHECK(hold.end_s - hold.start_s == Approx(2));
  CHECK(release.start_s == hold.end_s);
  CHECK(release.end_s - release.start_s == Approx(1));
  CHECK(unhold.end_s == unhold.start_s);
  CHECK(hold.held_part == PartId(0));
  CHECK(unhold.held_part == PartId(0));
  // The jaw's middle stands 30 mm beside the bed's, 6 mm further out while it is open.
  CHECK(place_of(proof, hold, 0, "right jaw").y() == Approx(336));
  CHECK(place_of(proof, hold, 1, "right jaw").y() == Approx(330));
  CHECK(place_of(proof, hold, 1, "left jaw").y() == Approx(270));
  CHECK(place_of(proof, release, 0, "right jaw").y() == Approx(330));
  CHECK(place_of(proof, unhold, 0, "right jaw").y() == Approx(330));
  CHECK(place_of(proof, unhold, 1, "right jaw").y() == Approx(336));
  // The report has them as steps of their own.
  const auto is_hold = [](const StepFigure& step) { return step.kind == StretchKind::hold; };
  CHECK(std::ranges::count_if(proof.report.steps, is_hold) == 1);
}

TEST_CASE("without hold_time closing takes no time, and still it is looked at") {
  const Proof proof = proved(ViseCell{}.text());
  const Stretch& hold = *stretch_of(proof, StretchKind::hold, "set");
  CHECK(hold.end_s == hold.start_s);
  CHECK(hold.shifts.size() == 2);
  CHECK(proof.report.pass);
}

TEST_CASE("clamps that are not modelled take their time too") {
  ViseCell cell;
  std::string text = cell.text();
  const std::string jaw = "jaw = \"vise jaw\"\nfriction = 0.2\n";
  text.replace(text.find(jaw), jaw.size(),
               "clamps = [ { at = [0, 0], force = 500 } ]\nhold_time = \"3 s\"\nfriction = 0.2\n");
  const Proof proof = proved(text);
  const Stretch* hold = stretch_of(proof, StretchKind::hold, "set");
  REQUIRE(hold);
  CHECK(hold->shifts.empty());
  CHECK(hold->end_s - hold->start_s == Approx(3));
}

TEST_CASE("drawn for another width than the bar has, jaws without a stroke cut it or stand off it") {
  ViseCell cell;
  cell.drawn_mm = 38;  // 1 mm into the bar on each side: deeper than contact_depth, 0.5 mm
  const auto cut = fails_between(proved(cell.text()), "bar", "left jaw");
  REQUIRE_FALSE(cut.empty());
  CHECK(cut.front().judged->measured == Approx(1).margin(0.02));
  cell.drawn_mm = 39.2;  // 0.4 mm: meant contact
  CHECK(fails_of(proved(cell.text()).report, "clearance").empty());
}

TEST_CASE("with a stroke they close until they meet the bar, whatever its width, each by itself") {
  ViseCell cell;
  cell.drawn_mm = 30;
  cell.left = "open = [0, -12, 0], stroke = 20";
  cell.right = "open = [0, 12, 0], stroke = 20";
  for (const double width : {40.0, 36.5, 22.0}) {
    cell.width_mm = width;
    const Proof proof = proved(cell.text());
    CHECK(fails_of(proof.report, "clearance").empty());
    const Stretch& hold = *stretch_of(proof, StretchKind::hold, "set");
    CHECK(place_of(proof, hold, 1, "right jaw").y() == Approx(300 + width / 2 + 10).margin(1e-3));
    CHECK(place_of(proof, hold, 1, "right jaw").y() >= 300 + width / 2 + 10);
    CHECK(place_of(proof, hold, 1, "left jaw").y() <= 300 - width / 2 - 10);
    // Open again they stand where they stood.
    CHECK(place_of(proof, *stretch_of(proof, StretchKind::unhold, "fetch"), 1, "right jaw").y() == Approx(337));
  }
  // A bar of 12 mm: each jaw may come 20 mm in from 27 mm off the middle, to 7 mm: it ends 1 mm off the bar.
  cell.width_mm = 12;
  const Proof empty = proved(cell.text());
  CHECK(place_of(empty, *stretch_of(empty, StretchKind::hold, "set"), 1, "right jaw").y() == Approx(317));
}

TEST_CASE("an open jaw in the part's way fails, though within the seat zone, and none is asked to be 5 mm off") {
  ViseCell cell;
  CHECK(fails_between(proved(cell.text()), "bar", "left jaw").empty());  // 6 mm off
  cell.left = "open = [0, -0.8, 0]";
  CHECK(fails_between(proved(cell.text()), "bar", "left jaw").empty());  // 0.8 mm off as it comes down
  cell.left = "open = [0, 2, 0]";                                        // opens the wrong way, 2 mm into the bar
  CHECK_FALSE(fails_between(proved(cell.text()), "bar", "left jaw").empty());
  // From the side, along y, the bar would pass right through the left jaw; at the seat all is well.
  cell.left = "open = [0, -6, 0]";
  cell.approach = "approach = [0, -120, 0]\nretreat = 80\n";
  const auto through = fails_between(proved(cell.text()), "bar", "left jaw");
  REQUIRE_FALSE(through.empty());
  CHECK(through.front().judged->measured == 0);
}

TEST_CASE("a bar that passes through a jaw within the seat zone only fails all the same") {
  // The jaws reach up to 15 mm; the bar comes in 16 mm above the seat, clear of them, then 30 mm sideways and down in
  // one slant whose last 10 mm lie within the seat zone: there its lower edge cuts the open jaw's upper one.
  ViseCell cell;
  cell.rules = "[rules]\nclearance = 0\nseat_zone = 40\n";
  cell.approach = "approach = [[0, 0, 80], [0, -20, 12]]\nretreat = 80\n";
  const auto cut = fails_between(proved(cell.text()), "bar", "left jaw");
  REQUIRE_FALSE(cut.empty());
  CHECK(cut.front().judged->measured == 0);
  CHECK(*cut.front().judged->required == 0);
}

TEST_CASE("the tool's fingers and the vise's are kept apart, also while they close") {
  // A plate on the left jaw stands up beside the bar on the tool's side, clear while the jaw is open.
  ViseCell cell;
  cell.hold = "hold_time = \"1 s\"\n";
  const auto with_plate = [&](double y) {
    cell.more = body_text("plate", "left jaw", fmt::format("{{ xyz = [-40, {}, 20] }}", y), "box = [10, 20, 60]");
    return proved(cell.text());
  };
  // The tool's left finger holds the bar at x from -40 to -30, y within 10 of the middle. Closed, the jaw's middle is
  // 30 off the bed's: the plate's face comes to y = -30 + y + 10.
  CHECK(fails_between(with_plate(4), "left finger", "plate").empty());     // -16: 6 mm off the finger's face at -10
  const auto near = fails_between(with_plate(8), "left finger", "plate");  // -12: 2 mm
  REQUIRE_FALSE(near.empty());
  const auto closing = std::ranges::find_if(near, [](const Finding& finding) { return finding.step == "set"; });
  REQUIRE(closing != near.end());
  CHECK(closing->judged->measured == Approx(2).margin(0.1));
}

TEST_CASE("a jaw that closes into what stands beside it fails, and what carries it does not count") {
  ViseCell cell;
  cell.left = "open = [0, -40, 0]";
  const auto with_pin = [&](const std::string& at, const std::string& rule) {
    cell.more = body_text("pin", "world", at, "box = [4, 4, 20]") + rule;
    return proved(cell.text());
  };
  // The jaw's left half, seen along y, passes the pin between its places; it stands on the bed, which carries it.
  const auto hit = fails_between(with_pin("{ xyz = [775, 250, 912] }", ""), "left jaw", "pin");
  REQUIRE_FALSE(hit.empty());
  CHECK(hit.front().judged->measured == 0);
  CHECK(fails_between(with_pin("{ xyz = [757, 250, 912] }", ""), "left jaw", "pin").empty());  // 1 mm beside its way
  CHECK_FALSE(fails_between(with_pin("{ xyz = [757, 250, 912] }",
                                     "[[clearance]]\nbetween = [\"left jaw\", \"pin\"]\nleast = 3\n"),
                            "left jaw", "pin")
                  .empty());
  CHECK(fails_between(with_pin("{ xyz = [775, 250, 912] }", "[[contact]]\nbetween = [\"left jaw\", \"pin\"]\n"),
                      "left jaw", "pin")
            .empty());
}

TEST_CASE("a fixed jaw may be named as a finger that does not open: it is met like the bed") {
  ViseCell cell;
  cell.left = "open = [0, 0, 0]";
  cell.rules = "[rules]\nseat_zone = 25\n";  // above it the bar is more than 5 mm over the jaw
  const Proof proof = proved(cell.text());
  CHECK(fails_between(proof, "bar", "left jaw").empty());
}

TEST_CASE("a pick that names no hold draws the part past closed jaws and is told so") {
  ViseCell cell;
  cell.pick_again = "";
  const Proof proof = proved(cell.text());
  CHECK_FALSE(fails_of(proof.report, "sequence").empty());
  CHECK_FALSE(fails_between(proof, "bar", "left jaw").empty());  // they touch all the way out
}

TEST_CASE("letting go without waiting is a caution unless the closing is given its time") {
  ViseCell cell;
  cell.place = "hold = \"vise\"\n";
  const auto cautions = [](const ViseCell& asked) {
    auto found = findings_of(proved(asked.text()).report, "sequence");
    std::erase_if(found, [](const Finding& f) { return f.message.find("without waiting") == std::string::npos; });
    return found.size();
  };
  CHECK(cautions(cell) == 1);
  cell.hold = "hold_time = \"1 s\"\n";
  CHECK(cautions(cell) == 0);
}
