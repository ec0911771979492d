// SPDX-License-Identifier: GPL-3.0-or-later
// A supply of vacuum over whole cycles: when its vacuum comes, how long it stays, what that has to last for. Numbers
// are derived; mends are tried out.
#include <cmath>

#include "checks/studies/margins.hpp"
#include "tests/support/hold_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// An ejector without a hose, so that its figures can be worked by hand.
struct Ejector {
  std::string volume = "volume = \"0.4 L\"\n", leak = "0.5 L/min", more = "check_valve = true\nswitch = \"60 kPa\"\n";
  std::string text() const {
    return "[[vacuum]]\nname = \"ejector\"\nflow = [[0, \"60 L/min\"], [85, \"0 L/min\"]]\nleak = \"" + leak + "\"\n" +
           volume + more;
  }
};

std::string with(std::string text, const std::string& good, const std::string& other) {
  std::size_t place = text.find(good);
  if (place == std::string::npos) FAIL("not in the cell: " << good);
  for (; place != std::string::npos; place = text.find(good, place + other.size()))
    text.replace(place, good.size(), other);
  return text;
}

/// The block carried by four cups on the ejector.
std::string carried(const Ejector& ejector, GripCell cell = {}) {
  cell.more += ejector.text();
  return with(cell.text(), "vacuum = 60\n", "supply = \"ejector\"\n");
}

/// The block brought to a fixture, with the cups on the ejector; the plate's own vacuum is written otherwise.
std::string brought(const Ejector& ejector, HoldCell cell = {}) {
  if (cell.zone.find("supply") == std::string::npos) cell.zone = with(cell.zone, "vacuum = 60", "vacuum = 60.0");
  cell.more += ejector.text();
  return with(cell.text(), "vacuum = 60\n", "supply = \"ejector\"\n");
}

SupplyFigure only_supply(const Report& report) {
  REQUIRE(report.supplies.size() == 1);
  return report.supplies.front();
}

Finding only_finding(const std::string& text, Severity severity) {
  const auto findings = findings_of(proved(text).report, "supply");
  REQUIRE(findings.size() == 1);
  CHECK(findings.front().severity == severity);
  CHECK_FALSE(findings.front().mend.empty());
  return findings.front();
}

std::size_t findings(const std::string& text) {
  return findings_of(proved(text).report, "supply").size();
}

bool said(const std::vector<std::string>& lines, const std::string& what) {
  return std::ranges::any_of(lines, [&](const std::string& line) { return line.find(what) != std::string::npos; });
}

/// By hand, without a known stop: from the start of each move on, or to its end and back.
double longest_way(const Report& report, const std::string& first, const std::string& last) {
  std::vector<double> moves;
  bool carrying = false;
  for (const StepFigure& step : report.steps) {
    if (step.kind == StretchKind::grip && step.name == first) carrying = true;
    if (step.kind == StretchKind::release && step.name == last) break;
    if (carrying && (step.kind == StretchKind::joint || step.kind == StretchKind::linear))
      moves.push_back(step.end_s - step.start_s);
  }
  double longest = 0, before = 0, on = 0;
  for (const double move : moves) on += move;
  for (const double move : moves) {
    longest = std::max(longest, std::min(on, 2 * move + before));
    on -= move;
    before += move;
  }
  return longest;
}

}  // namespace

TEST_CASE("cups on a supply hold as cups with the switch's vacuum do") {
  const Report own = proved(GripCell{}.text()).report, shared = proved(carried({})).report;
  CHECK(*shared.grips.at(0).factor == Approx(*own.grips.at(0).factor).epsilon(1e-9));
  const SupplyFigure supply = only_supply(shared);
  CHECK(supply.reached_kpa == Approx(85 * (1 - 0.5 / 60)));
  CHECK(supply.counted_kpa == Approx(60));
  CHECK(supply.zones == std::vector<std::string>{"a", "b", "c", "d"});
}

TEST_CASE("a grip takes as long as its vacuum, and the controller is told when to give up") {
  // V/p_a Δv/(Q0 − Q1) ln(Q0/Q1) with 59.5 L/min at no vacuum and 60 25/85 − 0.5 at 60 kPa
  const double at_switch = 60 * 25.0 / 85 - 0.5;
  const double exact = 0.4 / 101.325 * 60 / ((59.5 - at_switch) / 60) * std::log(59.5 / at_switch);
  const Report report = proved(carried({})).report;
  const SupplyFigure supply = only_supply(report);
  CHECK(*supply.evacuation_s == Approx(exact).epsilon(1e-9));
  CHECK(*supply.timeout_s == Approx(std::ceil(15 * exact) / 10));
  const auto grip = std::ranges::find(report.steps, StretchKind::grip, &StepFigure::kind);
  REQUIRE(grip != report.steps.end());
  CHECK(grip->end_s - grip->start_s == Approx(exact));
  CHECK(said(report.controller, fmt::format("{:.1f} s at the most", *supply.timeout_s)));
}

TEST_CASE("after a loss the leak lets the vacuum fall until the part is held just once") {
  // Held 8.459 times at 60 kPa: 0.4 L · 60 kPa (1 − 1/8.459)/(101.325 kPa · 0.5 L/min) = 25.06 s
  const SupplyFigure supply = only_supply(proved(carried({})).report);
  CHECK(*supply.weakest_factor == Approx(8.459).margin(2e-3));
  CHECK(*supply.held_after_loss_s == Approx(25.06).margin(0.01));
  CHECK(supply.weakest->step == "carry");
  // A tight one keeps it for ever, and that is not "not computed".
  Ejector tight;
  tight.leak = "0 L/min";
  const Report report = proved(carried(tight)).report;
  CHECK_FALSE(only_supply(report).held_after_loss_s);
  CHECK_FALSE(said(report.not_computed, "supply:"));
}

TEST_CASE("free air a cycle: each time the volume to what is reached, and the leak from grip to release") {
  const Report report = proved(carried({})).report;
  const auto grip = std::ranges::find(report.steps, StretchKind::grip, &StepFigure::kind);
  const double held = report.cycle_time_s - grip->start_s;  // never let go
  CHECK(*only_supply(report).air_litres == Approx(0.4 * 85 * (1 - 0.5 / 60) / 101.325 + 0.5 / 60 * held).epsilon(1e-9));
}

TEST_CASE("laying down is counted on to the release or back to the pick, whichever is shorter") {
  const Report report = proved(brought({})).report;
  const SupplyFigure supply = only_supply(report);
  CHECK(*supply.needed_to_lay_down_s >= longest_way(report, "pick", "place") - 1e-9);
  CHECK(supply.furthest);
  // With a stop the arm turns round on the way.
  HoldCell stopped;
  stopped.rules = "stop = \"5 m/s^2\"";
  const SupplyFigure sooner = only_supply(proved(brought({}, stopped)).report);
  CHECK(*sooner.needed_to_lay_down_s < *supply.needed_to_lay_down_s);
}

TEST_CASE("without a check valve nothing is kept, and the printed mend mends it") {
  Ejector open;
  open.more = "switch = \"60 kPa\"\n";
  const Finding finding = only_finding(carried(open), Severity::caution);
  CHECK(finding.judged->measured == 0);
  CHECK_THAT(finding.mend, Catch::Contains("check_valve = true"));
  CHECK(*only_supply(proved(carried(open)).report).held_after_loss_s == 0);
  CHECK(findings(carried({})) == 0);
}

TEST_CASE("a leak that lets go before the part can be laid down is a caution, and the printed mends mend it") {
  Ejector leaking;
  leaking.leak = "8 L/min";
  const Finding finding = only_finding(carried(leaking), Severity::caution);
  CHECK(finding.judged->measured < *finding.judged->required);
  CHECK(finding.judged->unit == "s");
  Ejector tighter = leaking;
  tighter.leak = fmt::format("{} L/min", printed(finding.mend, "leak"));
  CHECK(findings(carried(tighter)) == 0);
  std::smatch litres;
  REQUIRE(std::regex_search(finding.mend, litres, std::regex("or ([0-9.]+) L more volume")));
  Ejector larger = leaking;
  larger.volume = fmt::format("volume = \"{} L\"\n", 0.4 + std::stod(litres[1]));
  CHECK(findings(carried(larger)) == 0);
}

TEST_CASE("a leak of all that is drawn fails, and so do the grips") {
  Ejector leaking;
  leaking.leak = "60 L/min";
  const Report report = proved(carried(leaking)).report;
  const auto fails = fails_of(report, "supply");
  REQUIRE(fails.size() == 1);
  CHECK_THAT(fails[0].message, Catch::Contains("reaches no vacuum"));
  CHECK_FALSE(fails_of(report, "grip").empty());
  CHECK(only_supply(report).reached_kpa == 0);
  CHECK_FALSE(only_supply(report).evacuation_s);
}

TEST_CASE("a switch that never comes fails, and the printed one comes") {
  Ejector high;
  high.more = "check_valve = true\nswitch = \"84.5 kPa\"\n";
  const Finding finding = only_finding(carried(high), Severity::fail);
  CHECK_THAT(finding.message, Catch::Contains("waits for ever"));
  high.more = fmt::format("check_valve = true\nswitch = \"{} kPa\"\n", printed(finding.mend, "switch"));
  CHECK(findings(carried(high)) == 0);
}

TEST_CASE("a fixture that comes on beside the tool that holds is a caution, told once") {
  HoldCell cell;
  cell.zone = with(cell.zone, "vacuum = 60", "supply = \"ejector\"");
  const Finding finding = only_finding(brought({}, cell), Severity::caution);
  CHECK(finding.between == std::vector<std::string>{"vise", "cups"});
  CHECK(finding.step == "place");
  CHECK(findings(brought({})) == 0);
}

TEST_CASE("a release before the fixture's supply has drawn down fails") {
  HoldCell cell;
  cell.zone = with(cell.zone, "vacuum = 60", "supply = \"ejector\"");
  Ejector slow;
  slow.volume = "volume = \"4 L\"\n";
  const Report report = proved(brought(slow, cell)).report;
  const double needed = *only_supply(report).evacuation_s;
  REQUIRE(needed > 1);
  const auto fails = fails_of(report, "sequence");
  REQUIRE(fails.size() == 1);
  CHECK(fails[0].judged->required == Approx(needed));
}

TEST_CASE("what lacks a figure is said to be not computed") {
  Ejector unknown;
  unknown.volume = "";
  const Report report = proved(carried(unknown)).report;
  CHECK_FALSE(only_supply(report).evacuation_s);
  CHECK_FALSE(only_supply(report).held_after_loss_s);
  CHECK_FALSE(only_supply(report).air_litres);
  CHECK(said(report.not_computed, "supply: 'ejector': how long its vacuum takes, and how much air"));
  CHECK(said(report.not_computed, "supply: 'ejector': how long it keeps a part"));

  GripCell weightless;
  weightless.block = "box = [150, 100, 25]";
  const Report light = proved(carried({}, weightless)).report;
  CHECK_FALSE(only_supply(light).held_after_loss_s);
  CHECK(only_supply(light).needed_to_lay_down_s);
  CHECK(said(light.not_computed, "how 'block' is held in 'cups' is not known"));
}

TEST_CASE("a tool with other vacuum beside the supply's is not told how long it holds") {
  Ejector ejector;
  std::string text = carried(ejector);
  text.replace(text.find("supply = \"ejector\"\n"), 19, "vacuum = 60\n");
  const Report report = proved(text).report;
  CHECK_FALSE(only_supply(report).held_after_loss_s);
  CHECK(said(report.not_computed, "'cups' holds with other vacuum beside it"));
}

TEST_CASE("a supply's figures stand side by side for each version") {
  Ejector slow;
  slow.volume = "volume = \"0.8 L\"\n";  // twice as much: twice as long to draw down, twice as long kept
  std::vector<Proof> versions;
  versions.push_back(proved(carried({})));
  versions.push_back(proved(carried(slow)));
  const auto margins = compared(versions, Run{});
  const auto times = [&](const std::string& name) {
    const auto found = std::ranges::find_if(margins, [&](const ComparedMargin& row) {
      return row.margin.check == "supply" && row.margin.name == "ejector, " + name;
    });
    if (found == margins.end()) FAIL("no margin of " << name);
    return found->values.at(1).value() / found->values.at(0).value();
  };
  CHECK(times("vacuum counted on") == Approx(1));
  CHECK(times("to draw down") == Approx(2));
  CHECK(times("holds after a loss") == Approx(2));
  CHECK(times("to lay down") == Approx(1));
  CHECK(times("free air a cycle") > 1);
}
