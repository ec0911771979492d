// SPDX-License-Identifier: GPL-3.0-or-later
// Grips along whole cycles whose figures are worked by hand, and mends that are tried out.
#include "tests/support/grip_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

GripFigure only_grip(const Report& report) {
  REQUIRE(report.grips.size() == 1);
  return report.grips.front();
}

Finding only_fail(const GripCell& cell) {
  const auto fails = fails_of(proved(cell.text()).report, "grip");
  REQUIRE(fails.size() == 1);
  return fails.front();
}

std::size_t grip_fails(const GripCell& cell) {
  return fails_of(proved(cell.text()).report, "grip").size();
}

bool said(const std::vector<std::string>& lines, const std::string& what) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(what) != std::string::npos; });
}

}  // namespace

TEST_CASE("carried flat with 5 m/s2 sideways the block is held as often as worked by hand") {
  // derived: 169.646/(9.9292 + 5.0625/0.5) = 8.459, at 0.1 2.802
  for (const auto& [friction, factor] : {std::pair{0.5, 8.459}, std::pair{0.1, 2.802}}) {
    GripCell cell;
    cell.friction = friction;
    const Report report = proved(cell.text()).report;
    const GripFigure grip = only_grip(report);
    CHECK(*grip.factor == Approx(factor).margin(2e-3));
    CHECK(grip.limited_by == "slip");
    CHECK(grip.force_n == Approx(169.646).epsilon(1e-5));
    CHECK(grip.step == "carry");
    CHECK_FALSE(grip.in_stop);
    CHECK(fails_of(report, "grip").empty());
  }
}

TEST_CASE("lifted with 2 m/s2 the block is held 14.2 times") {
  // derived: 169.646/(1.0125 x 11.80665) = 14.191; all lips peel at once where the pull is all of the vacuum
  GripCell cell;
  cell.tool_acceleration = 2000;
  cell.to = "[790, 0, 1100]";
  CHECK(*only_grip(proved(cell.text()).report).factor == Approx(14.191).margin(2e-3));
}

TEST_CASE("an emergency stop at 15 m/s2 leaves 5 % in hand with wet cups and the report says in which step") {
  // derived: 169.646/(9.9292 + 15.1875/0.1) = 1.048
  GripCell cell;
  cell.friction = 0.1;
  cell.rules = "stop = \"15 m/s^2\"";
  const Proof proof = proved(cell.text());
  const GripFigure grip = only_grip(proof.report);
  CHECK(*grip.factor == Approx(1.048).margin(1e-3));
  CHECK(grip.in_stop);
  const auto fails = fails_of(proof.report, "grip");
  REQUIRE_FALSE(fails.empty());
  CHECK(fails.back().message.find("emergency stop") != std::string::npos);
}

TEST_CASE("the off-centre block loads its cups as worked by hand") {
  // derived: static P/4 ± P 25 30/(4 (30² + 15²/2)), P = 9.9292 N; sideways acceleration tips it about the other axis
  GripCell cell;
  cell.grasp_at = "[25, 0, 12.5]";
  cell.tool_acceleration = 20;
  const GripFigure grip = only_grip(proved(cell.text()).report);
  REQUIRE(grip.zones.size() == 4);
  std::vector<double> loads;
  for (const auto& zone : grip.zones) loads.push_back(zone.load_n);
  std::sort(loads.begin(), loads.end());
  CHECK(loads.front() == Approx(9.9292 / 4 * (1 - 25.0 * 30 / 1012.5)).margin(0.05));
  CHECK(loads.back() == Approx(9.9292 / 4 * (1 + 25.0 * 30 / 1012.5)).margin(0.05));
}

TEST_CASE("a weak grip is mended by each of the figures that its finding prints") {
  GripCell weak;
  weak.friction = 0.1;
  weak.rules = "grip_factor = 4";
  const Finding finding = only_fail(weak);
  CHECK(finding.step == "carry");
  CHECK(finding.judged->measured == Approx(2.802).margin(2e-3));
  INFO(finding.mend);

  GripCell slower = weak;
  slower.tool_speed = printed(finding.mend, "tool_speed");
  slower.tool_acceleration = printed(finding.mend, "tool_acceleration");
  CHECK(slower.tool_acceleration < 5000);
  CHECK(grip_fails(slower) == 0);

  GripCell larger = weak;
  larger.circle = printed(finding.mend, "circle");
  CHECK(larger.circle < 1.25 * weak.circle);
  CHECK(grip_fails(larger) == 0);

  GripCell emptier = weak;
  emptier.vacuum_kpa = printed(finding.mend, "vacuum");
  CHECK(emptier.vacuum_kpa < 101.325);
  CHECK(grip_fails(emptier) == 0);
}

TEST_CASE("where even standing still is too little, slower is not offered, nor a vacuum beyond ambient") {
  GripCell heavy;
  heavy.block = "box = [150, 100, 25]\nmass = 20";
  heavy.tool_acceleration = 20;
  const auto fails = fails_of(proved(heavy.text()).report, "grip");
  REQUIRE_FALSE(fails.empty());
  INFO(fails.front().mend);
  CHECK(fails.front().mend.find("slower alone can't do it") != std::string::npos);
  CHECK(fails.front().mend.find("more vacuum alone can't do it") != std::string::npos);
  CHECK(fails.front().judged->measured < 1);
}

TEST_CASE("the mend of a stop that is too hard is a softer one") {
  GripCell cell;
  cell.friction = 0.1;
  cell.rules = "stop = \"15 m/s^2\"";
  const auto fails = fails_of(proved(cell.text()).report, "grip");
  REQUIRE_FALSE(fails.empty());
  std::smatch found;
  const std::string mend = fails.back().mend;
  REQUIRE(std::regex_search(mend, found, std::regex("softer stop: ([0-9.]+) m/s")));
  cell.rules = "stop = \"" + found[1].str() + " m/s^2\"";
  CHECK(grip_fails(cell) == 0);
}

namespace {

/// The wrist turns the block where it is.
GripCell turned_block() {
  GripCell cell;
  cell.to = "[790, 0, 1000]";
  cell.rules = "stop = \"15 m/s^2\"";
  cell.last =
      "[[step]]\nname = \"turn\"\nmove = \"linear\"\n"
      "to = { tcp = \"cups\", frame = \"world\", at = { xyz = [790, 0, 1000], turn = [180, 0, 60] } }\n";
  return cell;
}

/// Every joint takes so long to stand from its full speed.
std::string with_stop_time(std::string text, const std::string& time) {
  const std::string row = "acceleration = ";
  const std::size_t end = text.find("[rules]");
  REQUIRE(end != std::string::npos);
  std::string joints = text.substr(0, end);
  for (std::size_t at = joints.rfind(row); at != std::string::npos && at > 0; at = joints.rfind(row, at - 1))
    joints.insert(at, "stop_time = " + time + ", ");
  return joints + text.substr(end);
}

}  // namespace

TEST_CASE("where the wrist only turns a stop is not computed, but for joints that tell how long they take") {
  const GripCell cell = turned_block();
  const Report untold = proved(cell.text()).report;
  CHECK(fails_of(untold, "grip").empty());
  CHECK(said(untold.not_computed, "an emergency stop in \"turn\": the tcp only turns there"));
  const Report told = proved(with_stop_time(cell.text(), "\"500 ms\"")).report;
  CHECK(fails_of(told, "grip").empty());
  CHECK_FALSE(said(told.not_computed, "an emergency stop"));
}

TEST_CASE("a wrist that stops too fast spins the block in its cups, and the finding says how it stops") {
  // derived: 2742 kg mm^2 about the cups' middle; full speed over a millisecond is thousands of rad/s^2
  const auto fails = fails_of(proved(with_stop_time(turned_block().text(), "\"1 ms\"")).report, "grip");
  REQUIRE_FALSE(fails.empty());
  CHECK(fails.back().step == "turn");
  CHECK(fails.back().message.find("an emergency stop by the joints") != std::string::npos);
  CHECK(fails.back().message.find("limited by slip") != std::string::npos);
}

TEST_CASE("jaws hold by friction of the pads") {
  // derived: 2 pads x 0.2 x 100 N = 40 N; load in the pad planes at 5 m/s2 along the pads 1.0125 hypot(9.80665, 5)
  GripCell cell;
  cell.holder = "jaw = \"jaws\"";
  cell.more = "[[jaw]]\nname = \"jaws\"\non = \"flange\"\nat = { xyz = [0, 0, 100] }\nforce = 100\nfriction = 0.2\n";
  const Proof proof = proved(cell.text());
  const GripFigure grip = only_grip(proof.report);
  CHECK(*grip.factor == Approx(40 / (1.0125 * std::hypot(9.80665, 5.0))).epsilon(1e-4));
  CHECK(grip.limited_by == "slip");
  CHECK_FALSE(grip.peel);
  // derived: the block's centre is 12.5 below the pads' middle: 1.0125 x 5 x 12.5 N mm about the line through the pads
  CHECK(*grip.moment_in_pads_nm == Approx(1.0125 * 5 * 0.0125).epsilon(1e-3));
  CHECK(said(proof.report.not_computed, "does not give their size"));
}

TEST_CASE("a stronger jaw as printed holds") {
  GripCell cell;
  cell.holder = "jaw = \"jaws\"";
  const auto jaw = [](double force) {
    return fmt::format(
        "[[jaw]]\nname = \"jaws\"\non = \"flange\"\nat = {{ xyz = [0, 0, 100] }}\nforce = {}\n"
        "friction = 0.2\n",
        force);
  };
  cell.more = jaw(30);
  const auto fails = fails_of(proved(cell.text()).report, "grip");
  REQUIRE_FALSE(fails.empty());
  cell.more = jaw(printed(fails.back().mend, "force"));
  CHECK(grip_fails(cell) == 0);
}

TEST_CASE("a zone that the part does not cover leaks") {
  GripCell cell;
  cell.grasp_at = "[50, 0, 12.5]";  // the far cups reach to x = 95 of 75
  const auto fails = fails_of(proved(cell.text()).report, "grip");
  REQUIRE(fails.size() == 2);
  for (const auto& finding : fails) {
    CHECK(finding.message.find("leaks") != std::string::npos);
    CHECK(finding.step == "pick");
    CHECK(finding.judged->measured < 1);
  }
}

TEST_CASE("what is missing for a figure is named, and no figure stands in for it") {
  GripCell cell;
  cell.block = "box = [150, 100, 25]";
  Report report = proved(cell.text()).report;
  CHECK(report.grips.empty());
  CHECK(said(report.not_computed, "neither mass nor density: 'block'"));
  cell = GripCell{};
  cell.holder.clear();
  report = proved(cell.text()).report;
  CHECK(report.grips.empty());
  CHECK(said(report.not_computed, "'cups' names neither suction nor jaw"));
}

TEST_CASE("friction that is left out is taken as oily, with a caution") {
  GripCell cell;
  std::string text = cell.text();
  for (auto at = text.find("friction = 0.5\n"); at != std::string::npos; at = text.find("friction = 0.5\n"))
    text.erase(at, 15);
  const Report report = proved(text).report;
  CHECK(*only_grip(report).factor == Approx(2.802).margin(2e-3));
  CHECK(said(report.cautions, "friction is left out"));
}

TEST_CASE("evacuation time is added to the grip") {
  // derived: (0.2 L / 30 L/min) ln(101325/41325) = 0.3588 s
  GripCell cell;
  const double without = proved(cell.text()).report.cycle_time_s;
  std::string text = cell.text();
  text.insert(text.find("vacuum = 60"), "volume = 0.2\nflow = 30\n");
  CHECK(proved(text).report.cycle_time_s - without == Approx(0.3588).margin(1e-4));
}

TEST_CASE("vacuum beyond what the altitude leaves and zones without area are input errors") {
  // derived: 27 inHg at 2000 m, where ambient is 23.48 inHg
  GripCell cell;
  cell.rules = "altitude = \"2000 m\"";
  std::string text = cell.text();
  text.replace(text.find("vacuum = 60"), 11, "vacuum = \"27 inHg\"");
  const auto error = read_cell_text(text, "cell.toml");
  REQUIRE_FALSE(error);
  CHECK(error.error().text().find("inHg") != std::string::npos);

  text = GripCell{}.text();
  text.replace(text.find("circle = 15"), 11, "circle = 15\nholes = [[[-20, -20], [20, -20], [20, 20], [-20, 20]]]");
  const auto eaten = read_cell_text(text, "cell.toml");
  REQUIRE_FALSE(eaten);
  CHECK(eaten.error().text().find("reaches out of the zone") != std::string::npos);
}
