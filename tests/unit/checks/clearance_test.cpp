// SPDX-License-Identifier: GPL-3.0-or-later
// What comes close over whole moves: the pair, the instant and the figure that are told.
#include <algorithm>
#include <set>

#include "checks/checked_pairs.hpp"
#include "scene/solids/distance.hpp"
#include "tests/support/bar_past_wall.hpp"

using namespace cellproof;
using namespace cellproof::test;

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
  CHECK(findings[0].judged->measured == Approx(3).margin(0.1));
  CHECK(findings[0].judged->measured <= 3);
  CHECK(findings[0].judged->required.value() == 3.1);
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

TEST_CASE("a held part keeps its distance from those in the other seats, each named by its seat") {
  // Given bricks 80 mm wide at a pitch of 83 mm, lifted straight out: 3 mm to the next one, on the side it has one.
  const std::string rack = shop_table + R"(
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

TEST_CASE("through a whole cycle with lines, jaws and a door nothing sampled lies below what is certified") {
  // Given jaws that take a brick through a door that shuts behind it, every body near some other.
  const Proof proof =
      proof_of(head + body_text("palm", "flange", "{ xyz = [0, 0, 30] }", "box = [90, 60, 60]") +
               body_text("left finger", "flange", "{ xyz = [-25, 0, 90] }", "box = [10, 20, 58]") +
               body_text("right finger", "flange", "{ xyz = [25, 0, 90] }", "box = [10, 20, 58]") +
               body_text("forearm", "link4", "{ xyz = [0, 250, 0] }", "cylinder = { radius = 60, height = 90 }") +
               body_text("column", "link1", "{ xyz = [-150, -100, 0] }", "box = [200, 500, 200]") + shop_table +
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
        const auto &a = proof.scene->bodies[pair.a], &b = proof.scene->bodies[pair.b];
        least = std::min(least, nearest(*a.solid, poses[a.frame], *b.solid, poses[b.frame], least + 1).distance);
      }
    }
    CHECK(figure->lower_mm <= least);
    CHECK(figure->upper_mm <= least + std::max(0.1, 0.02 * least) + 0.05);  // half a thousandth of a way is little
    CHECK(figure->upper_mm - figure->lower_mm <= std::max(0.1, 0.02 * least) + 1e-9);
  }
}
