// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/prove.hpp"

#include <algorithm>
#include <set>

#include "checks/checked_pairs.hpp"
#include "checks/instant.hpp"
#include "scene/distance.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// The arm with its limits so narrow that every pose near the tests' starts has one solution, or two where joint 4
/// turns.
std::string narrow_head(bool joint4_fixed) {
  std::string text = head;
  const auto limit = [&](const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
  };
  limit("min = -170, max = 170", "min = -90, max = 90");
  limit("min = -150, max = 150", "min = -70, max = 70");
  limit("min = -170, max = 170", "min = -80, max = 80");
  if (!joint4_fixed) return text;
  limit("min = -190, max = 190", "min = -60, max = 60");
  limit("min = -125, max = 125", "min = -125, max = 0");
  limit("min = -350, max = 350", "min = -170, max = 170");
  return text;
}

Proof proof_of(const std::string& text, int threads = 1) {
  Run run;
  run.threads = threads;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  return *proof;
}

std::vector<Finding> findings_of(const Report& report, const std::string& check) {
  std::vector<Finding> mine;
  for (const auto& finding : report.findings)
    if (finding.check == check) mine.push_back(finding);
  return mine;
}

/// A bar wider than the tool, taken from one side and put down on the other; a wall stands out of the tool's way only.
/// On its way round base z the bar's far end, its corner, passes the wall's face at `gap` mm.
std::string bar_past_wall(double gap) {
  // The hand stands down at joint 5 = -90: flange at 790 from base z; the bar lies along the flange's x, outward: it
  // reaches 790 + 150 ahead, 20 to each side.
  const double corner = std::hypot(790 + 150, 20);
  return narrow_head(true) + body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 78]") +
         body_text("table", "world", "{ xyz = [0, 0, 820] }", "box = [200, 200, 20]") +
         body_text("wall", "world", fmt::format("{{ xyz = [{}, 0, 970] }}", corner + gap + 50),
                   "box = [100, 80, 600]") +
         R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "left"
on = "table"
at = { xyz = [395, 684.160068, 130], turn = [0, 0, 60] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [395, -684.160068, 130], turn = [0, 0, -60] }
[[part]]
name = "bar"
box = [300, 40, 20]
seat = "left"
at = { xyz = [0, 0, 10] }
grasps = [ { name = "top", at = { xyz = [0, 0, 10], turn = [180, 0, 0] } } ]
[rules]
clearance = 0
[cycle]
start = [-60, 0, 0, 0, -90, 0]
[[step]]
name = "there"
move = "joint"
to = { joints = [60, 0, 0, 0, -90, 0] }
[[step]]
name = "take"
pick = "bar"
tcp = "hand"
grasp = "top"
[[step]]
name = "across"
move = "joint"
to = { joints = [-60, 0, 0, 0, -90, 0] }
[[step]]
name = "put"
place = "bar"
seat = "right"
at = { xyz = [0, 0, 10] }
[[step]]
name = "back"
move = "joint"
to = { joints = [60, 0, 0, 0, -90, 0] }
)";
}

}  // namespace

TEST_CASE("a part wider than the tool decides the clearance from grip to release, not before, not after") {
  for (const double gap : {3.0, 0.4, 25.0}) {
    CAPTURE(gap);
    const Report report = proof_of(bar_past_wall(gap)).report;
    const auto step = [&](const std::string& name) {
      for (const auto& figure : report.steps)
        if (figure.name == name) return figure;
      FAIL("no step " << name);
      return report.steps.front();
    };
    const auto with_bar = [](const StepFigure& figure) {
      REQUIRE(figure.clearance);
      return figure.clearance->between[0] == "bar" || figure.clearance->between[1] == "bar";
    };
    // The palm alone passes at far more than the bar does.
    for (const char* alone : {"there", "back"}) {
      const StepFigure figure = step(alone);
      REQUIRE(figure.clearance);
      CHECK(figure.clearance->between[0] != "wall");
      CHECK(figure.clearance->between[1] != "wall");
    }
    const StepFigure across = step("across");
    CHECK(with_bar(across));
    CHECK(across.clearance->lower_mm <= gap + 1e-6);
    CHECK(across.clearance->upper_mm >= gap - 1e-6);
    CHECK(across.clearance->upper_mm - across.clearance->lower_mm <= std::max(0.1, 0.02 * gap) + 1e-9);
    CHECK(across.clearance->time_s > across.start_s);
    CHECK(across.clearance->time_s < across.end_s);
  }
}

TEST_CASE("the closest pairs are listed once each, the nearest first, none nearer than its step's least") {
  const Report report = proof_of(bar_past_wall(3)).report;
  REQUIRE_FALSE(report.closest.empty());
  CHECK(report.closest.size() <= 10);
  std::set<std::array<std::string, 2>> pairs;
  double least = std::numeric_limits<double>::infinity();
  for (const auto& step : report.steps)
    if (step.clearance) least = std::min(least, step.clearance->upper_mm);
  CHECK(report.closest.front().upper_mm == least);
  for (std::size_t i = 0; i < report.closest.size(); ++i) {
    const ClosestFigure& pair = report.closest[i];
    CHECK(pairs.insert(pair.between).second);
    CHECK(pair.lower_mm <= pair.upper_mm);
    if (i > 0) CHECK(pair.upper_mm >= report.closest[i - 1].upper_mm);
    for (const auto& step : report.steps)
      if (step.name == pair.step && step.clearance && pair.time_s >= step.start_s && pair.time_s <= step.end_s)
        CHECK(pair.upper_mm >= step.clearance->lower_mm);
  }
}

TEST_CASE("one rule passes and the next fails: the finding names pair, step, instant, measured and required") {
  const std::string cell = bar_past_wall(3) + "[[clearance]]\nbetween = [\"bar\", \"wall\"]\nleast = ";
  CHECK(findings_of(proof_of(cell + "2.9\n").report, "clearance").empty());
  const Proof failing = proof_of(cell + "3.1\n");
  const auto findings = findings_of(failing.report, "clearance");
  REQUIRE(findings.size() == 1);
  CHECK_FALSE(failing.report.pass);
  CHECK(findings[0].severity == Severity::fail);
  CHECK(findings[0].step == "across");
  CHECK(findings[0].between == std::vector<std::string>{"bar", "wall"});
  CHECK(*findings[0].measured == Approx(3).margin(0.1));
  CHECK(*findings[0].measured <= 3);
  CHECK(*findings[0].required == 3.1);
  CHECK(findings[0].time_s);
}

TEST_CASE("touching fails under a rule of 0, a hundredth of a millimetre passes") {
  const auto wait_beside = [](double gap) {
    return head + body_text("palm", "flange", "{}", "box = [40, 40, 40]") +
           body_text("post", "world", fmt::format("{{ xyz = [{}, 0, 1170] }}", 890 + 20 + gap + 10),
                     "box = [20, 20, 20]") +
           "[rules]\nclearance = 0\n" + cycle_from("0, 0, 0, 0, 0, 0") + "[[step]]\nwait = \"1 s\"\n";
  };
  CHECK(findings_of(proof_of(wait_beside(0.01)).report, "clearance").empty());
  CHECK(findings_of(proof_of(wait_beside(0)).report, "clearance").size() == 1);
  CHECK(findings_of(proof_of(wait_beside(-0.5)).report, "clearance").size() == 1);
}

TEST_CASE("the report is the same to the last digit on one thread and on two") {
  const std::string cell = bar_past_wall(2) + "[[clearance]]\nbetween = [\"bar\", \"wall\"]\nleast = 5\n";
  const Report one = proof_of(cell, 1).report, two = proof_of(cell, 2).report;
  REQUIRE(one.steps.size() == two.steps.size());
  for (std::size_t i = 0; i < one.steps.size(); ++i) {
    const StepFigure &a = one.steps[i], &b = two.steps[i];
    CHECK(a.start_s == b.start_s);
    CHECK(a.end_s == b.end_s);
    CHECK(a.joints_end == b.joints_end);
    CHECK(a.limit_margin == b.limit_margin);
    CHECK(a.manipulability == b.manipulability);
    REQUIRE(a.clearance.has_value() == b.clearance.has_value());
    if (!a.clearance) continue;
    CHECK(a.clearance->lower_mm == b.clearance->lower_mm);
    CHECK(a.clearance->upper_mm == b.clearance->upper_mm);
    CHECK(a.clearance->between == b.clearance->between);
    CHECK(a.clearance->time_s == b.clearance->time_s);
    CHECK(a.clearance->points == b.clearance->points);
  }
  REQUIRE(one.findings.size() == two.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i) {
    CHECK(one.findings[i].message == two.findings[i].message);
    CHECK(one.findings[i].measured == two.findings[i].measured);
  }
}

TEST_CASE("a stopped proof says that it is cancelled") {
  std::stop_source source;
  source.request_stop();
  Run run;
  run.threads = 1;
  run.stop = source.get_token();
  const auto proof = prove(cell_of(bar_past_wall(2)), run);
  REQUIRE(proof);
  CHECK(proof->cancelled);
  CHECK_FALSE(proof->report.pass);
  // And one that is stopped on its way.
  std::stop_source later;
  run.stop = later.get_token();
  int told = 0;
  run.progress = [&](double, const std::string&) {
    if (++told == 2) later.request_stop();
  };
  const auto half = prove(cell_of(bar_past_wall(2)), run);
  REQUIRE(half);
  CHECK(half->cancelled);
}

TEST_CASE("a cell without a cycle is an error that says what to add") {
  const auto proof = prove(cell_of(head));
  REQUIRE_FALSE(proof);
  CHECK(proof.error().file == "cell.toml");
  CHECK(proof.error().key == "cycle");
  CHECK_FALSE(proof.error().what.empty());
  CHECK_FALSE(proof.error().mend.empty());
}

TEST_CASE("a model that is not there is an error with file, line and key") {
  const auto proof = prove(cell_of(head + "[[body]]\nname = \"table\"\nmesh = \"nowhere.stl\"\nmesh_unit = \"mm\"\n" +
                                   cycle_from("0, 0, 0, 0, -90, 0")));
  REQUIRE_FALSE(proof);
  CHECK(proof.error().file == "cell.toml");
  CHECK(proof.error().line >= 12);
  CHECK(proof.error().line <= 14);
  CHECK(proof.error().key.find("table") != std::string::npos);
  CHECK(proof.error().text().find("nowhere.stl") != std::string::npos);
}

TEST_CASE("a cycle without steps passes, takes no time, and has nothing to show") {
  const Report report = proof_of(head + cycle_from("0, 0, 0, 0, -90, 0")).report;
  CHECK(report.pass);
  CHECK(report.steps.empty());
  CHECK(report.cycle_time_s == 0);
}

TEST_CASE("what can't be reached is a finding of reach that names its step") {
  const std::string hand = "[[tcp]]\nname = \"hand\"\non = \"flange\"\n";
  const std::string go =
      cycle_from("0, 0, 0, 0, -90, 0") +
      "[[step]]\nname = \"go\"\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [X, 0, 700], turn "
      "= [180, 0, 0] } }\n" +
      joint_move("0, 0, 0, 0, -90, 0");
  std::string far = head + hand + go;
  far.replace(far.find('X'), 1, "3000");
  const Report report = proof_of(far).report;
  const auto reach = findings_of(report, "reach");
  REQUIRE(reach.size() == 1);
  CHECK_FALSE(report.pass);
  CHECK(reach[0].step == "go");
  CHECK(*reach[0].measured > 1000);
  CHECK_FALSE(reach[0].mend.empty());
  CHECK(std::any_of(report.not_computed.begin(), report.not_computed.end(),
                    [](const std::string& what) { return what.find("'go'") != std::string::npos; }));

  // The same arm with a wrist whose axes do not meet has no closed form, and takes the nearer pose all the same.
  std::string skew = head + hand + go;
  const std::string row = "{ a = 0,   alpha = 90,  d = 0,   theta = 0,  min = -125";
  skew.replace(skew.find(row), row.size(), "{ a = 35,   alpha = 80,  d = 27,   theta = 0,  min = -125");
  skew.replace(skew.find('X'), 1, "700");
  CHECK(findings_of(proof_of(skew).report, "reach").empty());
}

TEST_CASE("a held part keeps its distance from those in the other seats, each named by its seat") {
  // Given bricks 80 mm wide at a pitch of 83 mm, lifted straight out: 3 mm to the next one, on the side it has one.
  const std::string rack = body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "rack"
on = "table"
at = { xyz = [-100, -100, 50] }
grid = { columns = 1, rows = 3, pitch = [83, 83] }
[[part]]
name = "brick"
box = [50, 80, 40]
seat = "@slot"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
[cycle]
start = [0, 0, 0, 0, -90, 0]
each = { "@slot" = "rack" }
[[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 100
retreat = 100
[rules]
clearance = 2
seat_zone = 10
)";
  const Report report = proof_of(head + rack).report;
  CHECK(findings_of(report, "clearance").empty());
  int lifts = 0;
  for (std::size_t i = 0; i + 1 < report.steps.size(); ++i) {
    if (report.steps[i].kind != StretchKind::grip) continue;
    const StepFigure& lift = report.steps[i + 1];
    REQUIRE(lift.clearance);
    CHECK(lift.clearance->lower_mm <= 3);
    CHECK(lift.clearance->upper_mm >= 3 - 1e-6);
    CHECK(lift.clearance->between[1].rfind("brick @ rack ", 0) == 0);
    ++lifts;
  }
  CHECK(lifts == 3);
  std::string empty = head + rack;
  empty.replace(empty.find("each ="), 6, "others = [\"none\"]\neach =");
  for (const auto& step : proof_of(empty).report.steps)
    if (step.clearance) CHECK(step.clearance->between[1].find('@') == std::string::npos);
  std::string strict = head + rack;
  strict.replace(strict.find("clearance = 2"), 13, "clearance = 4");
  const auto close = findings_of(proof_of(strict).report, "clearance");
  CHECK(close.size() == 4);  // run 1 and 3 with one neighbour, run 2 with two
}

TEST_CASE("limits: the margin asked is kept or named, for joints and for sums of joints") {
  const auto limits = [](const std::string& more, const std::string& rules) {
    return findings_of(
        proof_of(head + more + rules + cycle_from("0, 0, 0, 0, -90, 0") + joint_move("0, 0, 0, 0, 121, 0")).report,
        "limits");
  };
  // Joint 5 goes to 121 of 125 deg.
  CHECK(limits("", "[rules]\nlimit_margin = 4\n").empty());
  const auto near = limits("", "[rules]\nlimit_margin = 4.5\n");
  REQUIRE(near.size() == 1);
  CHECK(*near[0].measured == Approx(4));
  CHECK(*near[0].required == Approx(4.5));
  CHECK(near[0].message.find("joint 5") != std::string::npos);
  const auto sum = limits("limits = [ { sum = [0, 1, 0, 0, 1, 0], min = -100, max = 115 } ]\n", "");
  REQUIRE(sum.size() == 1);
  CHECK(*sum[0].measured == Approx(-6));
  CHECK(sum[0].message.find("sum") != std::string::npos);
}

TEST_CASE("a wrist drawn straight on the way is a caution of its own, and fails nothing") {
  const Report report = proof_of(head + cycle_from("0, 0, 0, 0, 40, 0") + joint_move("0, 0, 0, 0, -40, 0") +
                                 joint_move("0, 0, 0, 0, 40, 0"))
                            .report;
  const auto found = findings_of(report, "singularity");
  REQUIRE(found.size() == 2);
  CHECK(found[0].severity == Severity::caution);
  CHECK(*found[0].measured < 1e-6);
  CHECK(*found[0].required == 0.02);
  CHECK(report.pass);
  CHECK(report.steps[0].manipulability < 1e-6);
  CHECK(*found[0].time_s == Approx(report.steps[0].end_s / 2).margin(1e-3));
}

TEST_CASE("a line beside a singular pose that the joints can't follow at speed fails") {
  // Given the wrist led past its straight pose at a small distance: joints 4 and 6 would have to race.
  const auto led = [](double beside) {
    return narrow_head(false) + "[[tcp]]\nname = \"hand\"\non = \"flange\"\n" + cycle_from("0, 0, 0, 0, 30, 0") +
           fmt::format(R"([[step]]
move = "joint"
to = {{ tcp = "hand", at = {{ xyz = [890, {0}, 1070], turn = [0, 90, 0] }} }}
[[step]]
name = "past"
move = "linear"
tool_speed = "1 m/s"
to = {{ tcp = "hand", at = {{ xyz = [890, {0}, 1270], turn = [0, 90, 0] }} }}
)",
                       beside);
  };
  const Report report = proof_of(led(3)).report;
  const auto speed = findings_of(report, "speed");
  REQUIRE(speed.size() == 1);
  CHECK(speed[0].severity == Severity::fail);
  CHECK(speed[0].step == "past");
  // 200 mm are too short for 1 m/s at 1 m/s²: at the middle it would run at the root of 200 mm * 1000 mm/s².
  CHECK(*speed[0].required == Approx(std::sqrt(200.0 * 1000)));
  CHECK(*speed[0].measured < 300);
  CHECK_FALSE(report.pass);
}

TEST_CASE("a cycle that comes back passes quietly, one that does not is cautioned with what is left") {
  const std::string away = head + body_text("door", "world", "{ xyz = [0, 2000, 0] }", "box = [10, 10, 10]") +
                           cycle_from("0, 0, 0, 0, -90, 0") + joint_move("10, 0, 0, 0, -90, 0") +
                           "[[step]]\nshift = \"door\"\nto = { xyz = [0, 2100, 0] }\ntime = \"1 s\"\n";
  const auto left = findings_of(proof_of(away).report, "sequence");
  REQUIRE(left.size() == 1);
  CHECK(left[0].severity == Severity::caution);
  CHECK(left[0].message.find("10.00 deg") != std::string::npos);
  CHECK(left[0].message.find("'door'") != std::string::npos);
  const auto back = findings_of(proof_of(away + joint_move("0, 0, 0, 0, -90, 0") +
                                         "[[step]]\nshift = \"door\"\nto = { xyz = [0, 2000, 0] }\ntime = \"1 s\"\n")
                                    .report,
                                "sequence");
  CHECK(back.empty());
}

TEST_CASE("the seat of the run may end empty, other seats of the grid may not fill") {
  const std::string rack = head + R"(
[[seat]]
name = "rack"
at = { xyz = [1500, 0, 0] }
grid = { columns = 3, rows = 1, pitch = [150, 200] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "@slot"
[cycle]
start = [0, 0, 0, 0, -90, 0]
each = { "@slot" = ["rack 1", "rack 2"] }
others = ["none"]
[[step]]
remove = "brick"
)";
  CHECK(findings_of(proof_of(rack).report, "sequence").empty());
  const auto moved =
      findings_of(proof_of(rack + "[[step]]\nbring = \"brick\"\nseat = \"rack 2\"\n").report, "sequence");
  REQUIRE(moved.size() == 1);  // in the run of rack 2 it is back in its own seat
  CHECK(moved[0].run == "rack 1");
}

TEST_CASE("a camera's target is seen, hidden, out of range, and the verdicts say which") {
  const auto look = [](const std::string& more, double z) {
    return head +
           fmt::format(R"(
[[camera]]
name = "eye"
on = "world"
at = {{ xyz = [2000, 0, 0] }}
resolution = [320, 240]
view_angle = 60
range = [50, 900]
[[target]]
name = "mark"
on = "world"
at = {{ xyz = [2000, 0, {}], turn = [180, 0, 0] }}
size = [40, 40]
)",
                       z) +
           more + cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nlook = \"eye\"\ntargets = [\"mark\"]\n";
  };
  CHECK(proof_of(look("", 400)).report.pass);
  const auto far = findings_of(proof_of(look("", 950)).report, "sightline");
  REQUIRE(far.size() == 1);
  CHECK(far[0].message.find("range") != std::string::npos);
  const auto hidden = findings_of(
      proof_of(look(body_text("flap", "world", "{ xyz = [2030, 0, 200] }", "box = [60, 60, 2]"), 400)).report,
      "sightline");
  // The flap's edge stands at x = 2000 over half the target, seen from the camera: half is hidden.
  REQUIRE(hidden.size() == 1);
  CHECK(hidden[0].severity == Severity::fail);
  CHECK(*hidden[0].measured == Approx(0.5).margin(0.01));
  CHECK(hidden[0].message.find("'flap'") != std::string::npos);
}

TEST_CASE("through a whole cycle with lines, jaws and a door nothing sampled lies below what is certified") {
  // Given jaws that take a brick through a door that shuts behind it, every body near some other.
  const Proof proof =
      proof_of(head + body_text("palm", "flange", "{ xyz = [0, 0, 30] }", "box = [90, 60, 60]") +
               body_text("left finger", "flange", "{ xyz = [-25, 0, 90] }", "box = [10, 20, 58]") +
               body_text("right finger", "flange", "{ xyz = [25, 0, 90] }", "box = [10, 20, 58]") +
               body_text("forearm", "link4", "{ xyz = [0, 250, 0] }", "cylinder = { radius = 60, height = 90 }") +
               body_text("column", "link1", "{ xyz = [-150, -100, 0] }", "box = [200, 500, 200]") +
               body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]") +
               body_text("post", "world", "{ xyz = [780, 40, 420] }", "cylinder = { radius = 15, height = 240 }") +
               body_text("hinge", "world", "{ xyz = [1250, -100, 450] }", "sphere = { radius = 4 }") +
               body_text("door", "hinge", "{ xyz = [0, -150, 0] }", "box = [6, 300, 300]") + R"(
[[jaw]]
name = "jaws"
on = "flange"
at = { xyz = [0, 0, 120] }
force = 400
friction = 0.2
fingers = [ { body = "left finger", open = [-8, 0, 0] }, { body = "right finger", open = [8, 0, 0] } ]
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 120] }
jaw = "jaws"
touch = ["left finger", "right finger"]
grip_time = "0.3 s"
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50], turn = [0, 0, 15] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [-50, -250, 50], turn = [0, 0, -30] }
[[part]]
name = "brick"
box = [40, 120, 40]
seat = "left"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 10], turn = [180, 0, 0] }, turns = [0, 180] } ]
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 80
retreat = [[0, 0, 60], [60, 0, 150]]
[[step]]
place = "brick"
seat = "right"
at = { xyz = [0, 0, 20] }
approach = [[0, 30, 120], [0, 0, 60]]
retreat = 60
[[step]]
shift = "hinge"
to = { xyz = [1250, -100, 450], turn = [0, 0, -100] }
time = "2 s"
[[step]]
move = "joint"
to = { joints = [0, 0, 0, 0, -90, 0] }
)");
  const CycleRun& run = proof.cycle->runs.front();
  if (run.failure) FAIL(run.failure->message);
  const Arm& arm = proof.scene->cell.arm.arm;
  constexpr int samples = 500;
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    const auto& figure = proof.report.steps[s].clearance;
    REQUIRE(figure);
    CAPTURE(s, stretch.step, figure->lower_mm, figure->upper_mm);
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= samples; ++i) {
      const double share = static_cast<double>(i) / samples;
      const Joints joints = stretch.motion.path.at(arm, share).values;  // the ideal motion
      const auto poses = world_poses(*proof.scene, arrangement_at(stretch, time_at(stretch, share)), joints);
      for (const auto& pair : checked_pairs(*proof.scene, stretch)) {
        if (std::none_of(pair.spans.begin(), pair.spans.end(),
                         [&](const Span& span) { return span.from <= share && share <= span.to; }))
          continue;
        const auto &a = proof.scene->bodies[static_cast<std::size_t>(pair.a)],
                   &b = proof.scene->bodies[static_cast<std::size_t>(pair.b)];
        least = std::min(least, nearest(*a.solid, poses[static_cast<std::size_t>(a.frame)], *b.solid,
                                        poses[static_cast<std::size_t>(b.frame)], least + 1)
                                    .distance);
      }
    }
    CHECK(figure->lower_mm <= least);
    CHECK(figure->upper_mm <= least + std::max(0.1, 0.02 * least) + 0.05);  // half a thousandth of a way is little
    CHECK(figure->upper_mm - figure->lower_mm <= std::max(0.1, 0.02 * least) + 1e-9);
  }
}

TEST_CASE("at one instant of a shift what has been shifted counts where it has come to") {
  // Given a slide that comes 200 mm nearer to a lying brick, from 300 mm.
  const Proof proof = proof_of(head + body_text("slide", "world", "{ xyz = [2000, 0, 0] }", "box = [20, 20, 20]") +
                               body_text("shelf", "world", "{ xyz = [2320, 0, -100] }", "box = [20, 20, 20]") + R"(
[[seat]]
name = "spot"
on = "shelf"
at = { xyz = [0, 0, 100] }
[[part]]
name = "brick"
box = [20, 20, 20]
seat = "spot"
)" + cycle_from("0, 0, 0, 0, -90, 0") +
                               "[[step]]\nshift = \"slide\"\nto = { xyz = [2200, 0, 0] }\ntime = \"2 s\"\n");
  const Stretch& stretch = proof.cycle->runs.front().stretches.front();
  for (const double time : {0.0, 0.5, 1.0, 2.0}) {
    CAPTURE(time);
    const auto now = instant_clearance(*proof.scene, stretch, time);
    REQUIRE(now);
    CHECK(now->upper_mm == Approx(300 - 100 * time));
  }
  REQUIRE(proof.report.steps.front().clearance);
  CHECK(proof.report.steps.front().clearance->lower_mm == Approx(100).margin(2));
}

TEST_CASE("what is nearest at one instant lies within what is certified for the step") {
  const Proof proof = proof_of(bar_past_wall(3));
  const CycleRun& run = proof.cycle->runs.front();
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    if (stretch.kind != StretchKind::joint) continue;
    for (int i = 0; i <= 20; ++i) {
      const auto now =
          instant_clearance(*proof.scene, stretch, stretch.start_s + (stretch.end_s - stretch.start_s) * i / 20);
      REQUIRE(now);
      CHECK(now->upper_mm >= proof.report.steps[s].clearance->lower_mm - 1e-9);
    }
  }
}
