// SPDX-License-Identifier: GPL-3.0-or-later
// A block on a fixture against the cut: figures worked by hand, and mends that are tried out.
#include "tests/support/hold_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

// derived: 120 x 80 mm at 60 kPa; 1.0125 kg x 9.80665
constexpr double force = 576, weight = 1.0125 * 9.80665;

HoldFigure only_hold(const Report& report) {
  REQUIRE(report.holds.size() == 1);
  return report.holds.front();
}

std::size_t hold_fails(const HoldCell& cell) {
  return fails_of(proved(cell.text()).report, "hold").size();
}

/// Aluminium by a mill of 10 mm with three teeth.
std::string milled(double depth, double helix = 30) {
  return fmt::format(
      "cut = {{ cutter = {{ diameter = 10, teeth = 3, helix = {}, spindle = \"12000 rpm\", feed = \"2400 mm/min\", "
      "depth = {}, width = 6, kc11 = \"700 N/mm^2\", mc = 0.25, radial = 0.4 }}, height = 20, "
      "over = [[-30, -20], [30, -20], [30, 20], [-30, 20]] }}\n",
      helix, depth);
}

double depth_at_most(const std::string& mend) {
  std::smatch found;
  REQUIRE(std::regex_search(mend, found, std::regex("depth at most ([0-9.]+) mm")));
  return std::stod(found[1]);
}

bool said(const std::vector<std::string>& lines, const std::string& what) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(what) != std::string::npos; });
}

}  // namespace

TEST_CASE("a block on a vacuum plate holds against the cut as worked by hand") {
  const Report report = proved(HoldCell{}.text()).report;
  const HoldFigure hold = only_hold(report);
  CHECK(hold.force_n == Approx(force));
  CHECK(*hold.slip == Approx((force + weight) / (20 + 50 / 0.3)));
  CHECK(*hold.lift == Approx((force + weight) / 20));
  // about the long side of the rests: 45 inward of the middle; the cut's far side lies 65 inward
  CHECK(*hold.tip == Approx((force * 45 + weight * 45) / (50 * 20 + 20 * 65)));
  // all together less than each by itself, and no more than the best share among four rests
  REQUIRE(hold.factor);
  CHECK(*hold.factor < *hold.slip);
  CHECK(*hold.factor > 2);
  CHECK(*hold.best_factor > *hold.factor);
  CHECK(hold.gives_by == "turn");
  CHECK(hold.step == "mill");
  CHECK(fails_of(report, "hold").empty());
  CHECK(fails_of(report, "sequence").empty());
  CHECK(said(report.cautions, "vacuum can fail at once"));
  CHECK(said(report.controller, "let go only once 'vise' is confirmed"));
  CHECK(said(report.controller, "not confirmed in time"));
}

TEST_CASE("clamps press where they stand, jaws clasp from the side") {
  HoldCell cell;
  cell.way = "clamps = [ { at = [-40, 0], force = 300 }, { at = [40, 0], force = 300 } ]";
  CHECK(only_hold(proved(cell.text()).report).force_n == Approx(600));
  // the tips of the clamps rub as well
  CHECK(*only_hold(proved(cell.text()).report).slip == Approx((0.3 * (600 + weight) + 0.3 * 600) / (50 + 0.3 * 20)));

  cell.way = "jaw = \"vise jaws\"";
  cell.more =
      "[[jaw]]\nname = \"vise jaws\"\non = \"fixture\"\nat = { xyz = [0, 0, 55] }\nforce = 1500\nfriction = 0.3\n";
  const HoldFigure hold = only_hold(proved(cell.text()).report);
  // two pads x 0.3 x 1500 N = 900 N of friction against 50 N sideways and what of the lift the weight leaves
  CHECK(hold.force_n == Approx(3000));
  CHECK(*hold.slip == Approx(900 / std::hypot(50.0, 20 - weight)));
  CHECK(*hold.lift == Approx((900 + weight) / 20));
}

TEST_CASE("a weak hold is mended by each of the figures that its finding prints") {
  HoldCell weak;
  weak.cut = "cut = { side_force = 70, lift_force = 20, height = 20, " + weak.over + " }\n";
  const auto fails = fails_of(proved(weak.text()).report, "hold");
  REQUIRE(fails.size() == 1);
  const Finding& finding = fails.front();
  CHECK(finding.judged->measured < 2);
  CHECK(finding.message.find("it turns, with the cut at (") != std::string::npos);
  INFO(finding.mend);

  HoldCell emptier = weak;
  emptier.zone.replace(emptier.zone.find("vacuum = 60"), 11,
                       fmt::format("vacuum = {}", printed(finding.mend, "vacuum")));
  CHECK(hold_fails(emptier) == 0);

  std::smatch found;
  REQUIRE(std::regex_search(finding.mend, found, std::regex("each zone ([0-9.]+) times its own")));
  const double across = 73, along = 60 * 40 * std::stod(found[1]) / across;  // still within the block's 75 and 50
  REQUIRE(along < 50);
  HoldCell larger = weak;
  larger.zone = fmt::format(
      "outline = [[-{0}, -{1}], [{0}, -{1}], [{0}, {1}], [-{0}, {1}]]\nvacuum = 60\nfriction = 0.3\n", across, along);
  CHECK(hold_fails(larger) == 0);

  REQUIRE(std::regex_search(finding.mend, found, std::regex("side force at most ([0-9.]+) N")));
  HoldCell lighter = weak;
  lighter.cut = "cut = { side_force = " + found[1].str() + ", lift_force = 20, height = 20, " + weak.over + " }\n";
  CHECK(std::stod(found[1]) < 70);
  CHECK(hold_fails(lighter) == 0);
}

TEST_CASE("a cut high above the seat tips the block, and lift pulls it off") {
  HoldCell cell;
  cell.cut = "cut = { side_force = 60, lift_force = 0, height = 300, " + cell.over + " }\n";
  auto fails = fails_of(proved(cell.text()).report, "hold");
  REQUIRE(fails.size() == 1);
  CHECK(*only_hold(proved(cell.text()).report).tip == Approx((force + weight) * 45 / (60 * 300)));
  CHECK(fails.front().message.find("2 asked: it tips") != std::string::npos);
  CHECK_FALSE(only_hold(proved(cell.text()).report).lift);  // nothing lifts: null

  cell.cut = "cut = { lift_force = 400, height = 0 }\n";
  fails = fails_of(proved(cell.text()).report, "hold");
  REQUIRE(fails.size() == 1);
  CHECK(*only_hold(proved(cell.text()).report).lift == Approx((force + weight) / 400));
}

TEST_CASE("a side force from power carries its peak and fifty per cent") {
  // derived: 200 W at 5 m/s is 40 N on the average, 52 N at 1.3 times; at its upper end 78 N
  HoldCell cell;
  cell.cut =
      "cut = { power = 200, cutting_speed = \"5 m/s\", peak = 1.3, lift_force = 20, height = 20, " + cell.over + " }\n";
  const Report report = proved(cell.text()).report;
  const HoldFigure hold = only_hold(report);
  CHECK(hold.estimated);
  CHECK(hold.cut->from == "power");
  CHECK(hold.cut->side_force_n == Approx(52));
  CHECK(*hold.cut->side_force_mean_n == Approx(40));
  CHECK(*hold.slip == Approx((force + weight) / (20 + 52 / 0.3)));
  CHECK(*hold.slip_at_more == Approx((force + weight) / (20 + 78 / 0.3)));
  CHECK(fails_of(report, "hold").empty());
  const auto caution = std::find_if(report.findings.begin(), report.findings.end(), [](const Finding& finding) {
    return finding.check == Check::hold && finding.severity == Severity::caution;
  });
  REQUIRE(caution != report.findings.end());
  CHECK(caution->message.find("within 50 %") != std::string::npos);
}

TEST_CASE("a cutter's own forces are an estimate, lift too, and a shallower cut that is found holds") {
  HoldCell cell;
  cell.cut = milled(4);
  const Report report = proved(cell.text()).report;
  const HoldFigure hold = only_hold(report);
  REQUIRE(hold.cut);
  CHECK(hold.cut->from == "cutter");
  CHECK(hold.estimated);
  // derived: 2400 mm/min over 3 teeth at 12000 rpm; the width of 6 of 10 goes past the middle, so the chip is as thick
  CHECK(*hold.cut->feed_per_tooth_mm == Approx(1 / 15.0));
  CHECK(*hold.cut->thickest_chip_mm == Approx(1 / 15.0));
  CHECK(hold.cut->side_force_n > *hold.cut->side_force_mean_n);
  CHECK(hold.cut->thrust_n == 0);
  const double side = hold.cut->side_force_n, lift = hold.cut->lift_force_n;
  CHECK(*hold.slip == Approx((force + weight) / (lift + side / 0.3)));
  CHECK(*hold.lift == Approx((force + weight) / lift));
  CHECK(*hold.slip_at_more == Approx(*hold.slip / 1.5));
  CHECK(*hold.lift_at_more == Approx(*hold.lift / 1.5));
  CHECK(*hold.factor_at_more == Approx(*hold.factor / 1.5).epsilon(1e-3));

  const auto fails = fails_of(report, "hold");
  REQUIRE(fails.size() == 1);
  INFO(fails.front().message << "\n" << fails.front().mend);
  CHECK(fails.front().message.find("estimated from the cutter to within 50 %") != std::string::npos);
  const double deepest = depth_at_most(fails.front().mend);
  CHECK(deepest < 4);
  cell.cut = milled(deepest);
  CHECK(hold_fails(cell) == 0);
  cell.cut = milled(1.1 * deepest);
  CHECK(hold_fails(cell) == 1);
}

TEST_CASE("in a jaw, too, the depth that holds is found") {
  HoldCell cell;
  cell.way = "jaw = \"vise jaws\"";
  cell.more =
      "[[jaw]]\nname = \"vise jaws\"\non = \"fixture\"\nat = { xyz = [0, 0, 55] }\nforce = 1000\nfriction = 0.3\n";
  cell.cut = milled(4);
  const auto fails = fails_of(proved(cell.text()).report, "hold");
  REQUIRE(fails.size() == 1);
  INFO(fails.front().mend);
  cell.cut = milled(depth_at_most(fails.front().mend));
  CHECK(hold_fails(cell) == 0);
}

TEST_CASE("a left-hand helix presses the block down") {
  HoldCell cell;
  cell.cut = milled(0.5, -30);
  const HoldFigure hold = only_hold(proved(cell.text()).report);
  CHECK(hold.cut->lift_force_n == 0);
  CHECK(hold.cut->thrust_n > 0);
  CHECK_FALSE(hold.lift);  // nothing lifts: null
}

TEST_CASE("weight and force that fall outside the rests fail, each with how far") {
  HoldCell cell;
  cell.rests = "rests = [[10, -45], [70, -45], [70, 45], [10, 45]]\n";
  const auto fails = fails_of(proved(cell.text()).report, "hold");
  int outside = 0;
  for (const auto& finding : fails)
    if (finding.message.find("10.00 mm outside the rests") != std::string::npos) ++outside;
  CHECK(outside == 2);
  cell.rests = "rests = [[-10, -45], [70, -45], [70, 45], [-10, 45]]\n";  // the mend
  for (const auto& finding : fails_of(proved(cell.text()).report, "hold"))
    CHECK(finding.message.find("outside the rests") == std::string::npos);
}

TEST_CASE("a field that the part does not wholly cover leaks") {
  HoldCell cell;
  cell.zone = "outline = [[-80, -40], [60, -40], [60, 40], [-80, 40]]\nvacuum = 60\nfriction = 0.3\n";
  const auto fails = fails_of(proved(cell.text()).report, "hold");
  REQUIRE_FALSE(fails.empty());
  CHECK(fails.front().message.find("'plate' leaks: 90.00 mm") != std::string::npos);  // 80 + 2 x 5 beyond the edge
}

TEST_CASE("without rests they are found from what the block lies on") {
  HoldCell cell;
  cell.rests.clear();
  const Report report = proved(cell.text()).report;
  const HoldFigure hold = only_hold(report);
  CHECK(hold.rests_found);
  // the whole lower face of the block, 150 x 100: 50 inward of its long side
  CHECK(*hold.tip == Approx((force + weight) * 50 / (50 * 20 + 20 * 70)));
  CHECK(*hold.factor > 2);
  CHECK(hold.reactions.size() == 4);
  CHECK_FALSE(said(report.not_computed, "rests"));
}

TEST_CASE("a block on three rests with the cut far out is thrown though it neither slips nor tips") {
  HoldCell cell;
  cell.rests = "rests = [[-30, -20], [-30, 20], [30, 0]]\n";
  cell.cut = "cut = { side_force = 40, height = 5, over = [[70, 40]] }\n";
  const Report report = proved(cell.text()).report;
  const HoldFigure hold = only_hold(report);
  CHECK(*hold.slip == Approx(0.3 * (force + weight) / 40));
  CHECK(*hold.slip > 2);
  CHECK(*hold.tip > 2);
  CHECK(hold.gives_by == "turn");
  CHECK(*hold.worst_at_mm == Vector2d(70, 40));
  CHECK_FALSE(hold.best_factor);
  const auto fails = fails_of(report, "hold");
  REQUIRE(fails.size() == 1);
  CHECK(fails.front().message.find("it turns, with the cut at (70, 40) mm") != std::string::npos);

  // the mend's rest is tried out: it holds what it says
  INFO(fails.front().mend);
  std::smatch found;
  REQUIRE(std::regex_search(fails.front().mend, found,
                            std::regex("rest at .([-0-9]+), ([-0-9]+). mm moved to .([-0-9]+), ([-0-9]+). mm, which "
                                       "holds ([0-9.]+) times|more rest at .([-0-9]+), ([-0-9]+). mm, which holds "
                                       "([0-9.]+) times")));
  HoldCell mended = cell;
  if (found[1].matched) {
    const std::string from = fmt::format("[{}, {}]", found[1].str(), found[2].str());
    mended.rests.replace(mended.rests.find(from), from.size(), fmt::format("[{}, {}]", found[3].str(), found[4].str()));
  } else {
    mended.rests.insert(mended.rests.find("]]") + 1, fmt::format(", [{}, {}]", found[6].str(), found[7].str()));
  }
  const double said_times = std::stod(found[1].matched ? found[5] : found[8]);
  CHECK(*only_hold(proved(mended.text()).report).factor >= said_times);
  CHECK(said_times > *hold.factor);
}

TEST_CASE("a rest that a mend tells of is one that the part is over") {
  // A bar that sticks out of the block draws the part's outline far beyond where the part is.
  HoldCell cell;
  cell.rests = "rests = [[-30, -20], [-30, 20], [30, 0]]\n";
  cell.cut = "cut = { side_force = 40, height = 5, over = [[70, 40]] }\n";
  cell.more = body_text("bar of the block", "block", "{ xyz = [130, 0, 0] }", "box = [110, 10, 25]\ndensity = 2700") +
              body_text("bar of the worked", "worked", "{ xyz = [130, 0, 0] }", "box = [110, 10, 25]\ndensity = 2700");
  const Report report = proved(cell.text()).report;
  const auto fails = fails_of(report, "hold");
  REQUIRE_FALSE(fails.empty());
  INFO(fails.front().mend);
  std::smatch found;
  REQUIRE(std::regex_search(fails.front().mend, found,
                            std::regex("moved to .([-0-9]+), ([-0-9]+). mm|more rest at .([-0-9]+), ([-0-9]+). mm")));
  const std::size_t at = found[1].matched ? 1 : 3;
  const double x = std::abs(std::stod(found[at])), y = std::abs(std::stod(found[at + 1]));
  CHECK(((x <= 75 && y <= 50) || (x <= 185 && y <= 5)));
}

TEST_CASE("a thrust holds the block down within its rests and tips it beyond them") {
  HoldCell cell;
  cell.cut = "cut = { thrust = 900, over = [[0, 0]] }\n";
  CHECK_FALSE(only_hold(proved(cell.text()).report).factor);  // nothing gives: null
  cell.cut = "cut = { thrust = 900, over = [[0, 65]] }\n";
  // 20 beyond the long side of the rests: (F + W) 45 = k 900 20
  CHECK(*only_hold(proved(cell.text()).report).factor == Approx((force + weight) * 45 / (900 * 20)).epsilon(1e-4));
}

TEST_CASE("what the file has for the hold and the worked part counts before the hold's own friction") {
  HoldCell cell;
  const double dry = *only_hold(proved(cell.text()).report).slip;
  cell.more = "[[friction]]\nbetween = [\"vise\", \"worked\"]\nvalue = 0.15\n";
  CHECK(*only_hold(proved(cell.text()).report).slip == Approx((force + weight) / (20 + 50 / 0.15)));
  // of a zone of the hold before the hold
  cell.more += "[[friction]]\nbetween = [\"plate\", \"worked\"]\nvalue = 0.2\n";
  CHECK(*only_hold(proved(cell.text()).report).slip == Approx((force + weight) / (20 + 50 / 0.2)));
  // the greater of the block as it comes changes nothing
  // of two zones the one that is not named has the hold's: the least counts
  HoldCell halves;
  halves.more =
      "[[suction]]\nname = \"second\"\non = \"fixture\"\nat = { xyz = [0, 0, 45] }\noutline = [[61, -10], [65, -10], "
      "[65, 10], [61, 10]]\nvacuum = 60\nfriction = 0.3\n";
  halves.way = "suction = [\"plate\", \"second\"]";
  const double as_stated = *only_hold(proved(halves.text()).report).slip;
  halves.more +=
      "[[friction]]\nbetween = [\"plate\", \"worked\"]\nvalue = 0.6\n[[friction]]\nbetween = [\"plate\", "
      "\"block\"]\nvalue = 0.6\n";
  CHECK(*only_hold(proved(halves.text()).report).slip == Approx(as_stated));
  cell.more = "[[friction]]\nbetween = [\"vise\", \"block\"]\nvalue = 0.5\n";
  CHECK(*only_hold(proved(cell.text()).report).slip == Approx(dry));
}

TEST_CASE("a rest or a clamp that the part is not at carries nothing, and is told") {
  const auto told = [](const Report& report) {
    return std::ranges::count_if(report.findings, [](const Finding& finding) {
      return finding.severity == Severity::caution && finding.message.find("counts for nothing") != std::string::npos;
    });
  };
  const auto adds_nothing = [&](const HoldCell& cell, const HoldCell& with_more) {
    const Report alone = proved(cell.text()).report, more = proved(with_more.text()).report;
    CHECK(*only_hold(more).factor == Approx(*only_hold(alone).factor));
    CHECK(told(alone) == 0);
    CHECK(told(more) == 1);
  };
  // The block is 150 x 100: with a rest far beside it, it would hold better than it can.
  HoldCell three, four;
  three.rests = "rests = [[-70, -45], [70, -45], [0, 45]]\n";
  four.rests = "rests = [[-70, -45], [70, -45], [0, 45], [0, 400]]\n";
  adds_nothing(three, four);
  // On the very edge of the part they are at it.
  HoldCell edge, within;
  edge.rests = "rests = [[-75, -50], [75, -50], [75, 50], [-75, 50]]\n";
  within.rests = "rests = [[-74.9, -49.9], [74.9, -49.9], [74.9, 49.9], [-74.9, 49.9]]\n";
  const Report on_edge = proved(edge.text()).report;
  CHECK(told(on_edge) == 0);
  CHECK(*only_hold(on_edge).factor == Approx(*only_hold(proved(within.text()).report).factor).epsilon(0.01));
  // With all of them beside, nothing carries it.
  HoldCell none;
  none.rests = "rests = [[-300, -45], [-200, -45], [-250, 45]]\n";
  CHECK(*only_hold(proved(none.text()).report).factor == 0);
  CHECK(hold_fails(none) > 0);
  // A clamp beside the block presses the air.
  HoldCell one, two;
  one.way = "clamps = [ { at = [0, 0], force = 300 } ]";
  two.way = "clamps = [ { at = [0, 0], force = 300 }, { at = [0, 90], force = 3000 } ]";
  adds_nothing(one, two);
  // Two rests in a row, or one, carry nothing that lies beside their line.
  for (const char* left : {"[[-70, -45], [70, -45], [0, 400]]", "[[-70, -45], [0, 400], [0, -400]]"}) {
    HoldCell few;
    few.rests = std::string("rests = ") + left + "\n";
    CHECK(*only_hold(proved(few.text()).report).factor == 0);
  }
}

TEST_CASE("without a cut what can't be computed is null and named") {
  HoldCell cell;
  cell.cut.clear();
  const Report report = proved(cell.text()).report;
  CHECK_FALSE(only_hold(report).slip);
  CHECK_FALSE(only_hold(report).factor);
  CHECK(said(report.not_computed, "gives no `cut`"));
}
