// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/way_out.hpp"

#include "checks/checked_pairs.hpp"
#include "scene/cycle/plan.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// Where a body of a cell stands, beside where the text puts it.
using Shifts = std::map<std::string, Vector3d>;

/// A body of boxes, shifted along the axes of what it stands on.
std::string block(const std::string& name, const std::string& on, Vector3d at, const Vector3d& size,
                  const Shifts& shifts) {
  if (const auto found = shifts.find(name); found != shifts.end()) at += found->second;
  return body_text(name, on, fmt::format("{{ xyz = [{}, {}, {}] }}", at.x(), at.y(), at.z()),
                   fmt::format("box = [{}, {}, {}]", size.x(), size.y(), size.z()));
}

/// The palm sweeps past a post, its outer face 820 mm from the arm's axis.
std::string sweep(double post_face, const Shifts& shifts = {}) {
  return head + block("palm", "flange", {0, 0, 20}, {60, 60, 40}, shifts) +
         block("post", "world", {post_face + 20, 0, 900}, {40, 40, 600}, shifts) + cycle_from("-30, 0, 0, 0, -90, 0") +
         joint_move("30, 0, 0, 0, -90, 0");
}

/// A camera on the flange comes down to 2 mm over the table that the seat is on.
std::string camera_over_table(const Shifts& shifts = {}) {
  return head + block("palm", "flange", {0, 0, 20}, {40, 40, 40}, shifts) +
         block("camera", "flange", {60, 0, 38}, {40, 40, 80}, shifts) +
         block("table", "world", {800, 0, 250}, {400, 400, 100}, shifts) + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 40] }
[[seat]]
name = "here"
on = "table"
at = { xyz = [0, 0, 50] }
[[part]]
name = "brick"
box = [30, 30, 40]
seat = "here"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 100
retreat = 100
)";
}

struct Failing {
  std::size_t stretch;
  std::vector<std::string> between;
  WayOut way;
  std::string body;
  Vector3d shift_in_world = Vector3d::Zero();
};

/// Every pair that fails in the first run, with its way out.
std::vector<Failing> failing(const std::string& text) {
  const Scene scene = scene_of(text);
  const Cycle cycle = plan_cycle(scene);
  const CycleRun& run = cycle.runs.at(0);
  if (run.failure) FAIL(run.failure->message);
  std::vector<Failing> all;
  for (std::size_t s = 0; s < run.stretches.size(); ++s) {
    const Stretch& stretch = run.stretches[s];
    const auto pairs = checked_pairs(scene, stretch);
    const StretchClearance clearance = measure_clearance(scene, stretch, pairs);
    const auto ways = ways_out(scene, run, stretch, pairs, clearance);
    std::size_t next = 0;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      if (clearance.pairs[i].lower_mm >= pairs[i].least_mm) continue;
      const WayOut& way = ways.at(next++);
      const auto name = [&](BodyId body) { return scene.bodies[body].name; };
      all.push_back({s, {name(pairs[i].a), name(pairs[i].b)}, way, name(way.body)});
    }
    CHECK(next == ways.size());
  }
  return all;
}

/// The shift that a way out asks for, in the axes of what its body stands on where those are world's or the flange's.
Shifts shifted(const Failing& failed) {
  return {{failed.body, failed.way.sign * failed.way.shift_mm * Vector3d::Unit(failed.way.axis)}};
}

}  // namespace

TEST_CASE("A post too near a sweep is moved away by what is short, and the sweep then passes") {
  // By Pythagoras the palm's outer corners pass the post's face at sqrt(820^2 + 30^2) = 820.55 mm; 5 mm is asked.
  const auto failed = failing(sweep(823));
  REQUIRE(failed.size() == 1);
  CHECK(failed[0].body == "post");
  CHECK(failed[0].way.by_hand);
  CHECK(failed[0].way.all_along);
  CHECK(shift_text(failed[0].way) == "2.6 mm along world +x");  // 825.55 - 823 = 2.55, rounded up
  CHECK(failing(sweep(823, shifted(failed[0]))).empty());
  Shifts less = shifted(failed[0]);
  less["post"] *= 0.9;
  CHECK(failing(sweep(823, less)).size() == 1);
}

TEST_CASE("A post that the tool goes through is moved out of all of its way") {
  for (const double face : {820.0, 790.0, 770.0}) {
    CAPTURE(face);
    const auto failed = failing(sweep(face));
    REQUIRE_FALSE(failed.empty());
    for (const auto& one : failed) {
      CHECK(one.body == "post");
      if (one.way.all_along) CHECK(failing(sweep(face, shifted(one))).empty());
    }
  }
}

TEST_CASE("A tool is moved on its flange where the other body is what the step goes to") {
  const auto failed = failing(camera_over_table());
  REQUIRE_FALSE(failed.empty());
  for (const auto& one : failed) {
    CAPTURE(one.between, shift_text(one.way));
    CHECK(one.body == "camera");
    CHECK(one.way.by_hand);
    CHECK(one.way.in_flange);
    CHECK(one.way.all_along);
    CHECK(shift_text(one.way) == "3.1 mm along flange -z");  // 3 mm are short, and a hair more is kept
    for (const auto& left : failing(camera_over_table(shifted(one))))
      CHECK_FALSE((left.stretch == one.stretch && left.between == one.between));
  }
}

TEST_CASE("A body that takes the part stays where the grasp has it") {
  std::string text = camera_over_table();
  const std::string tcp = "name = \"hand\"\n";
  text.insert(text.find(tcp) + tcp.size(), "touch = [\"palm\", \"camera\"]\n");
  const auto failed = failing(text);
  REQUIRE_FALSE(failed.empty());
  for (const auto& one : failed) {
    CAPTURE(one.between, shift_text(one.way));
    CHECK_FALSE(one.way.by_hand);
  }
}

TEST_CASE("Where nothing can be set elsewhere the motion is led elsewhere") {
  // The forearm folds onto the stand that the arm itself is on.
  const std::string text = head + body_text("hand", "flange", "{ xyz = [0, 0, 30] }", "box = [60, 60, 60]") +
                           body_text("column", "base", "{ xyz = [0, 0, 500] }", "box = [100, 100, 1000]") +
                           cycle_from("0, 0, 0, 0, -90, 0") + joint_move("0, 60, 75, 0, -90, 0");
  for (const auto& one : failing(text)) {
    CAPTURE(one.between, shift_text(one.way));
    CHECK(one.body == "hand");
  }
}

TEST_CASE("The finding names the body, the way and the axis") {
  const Proof proof = proved(sweep(823));
  const auto fails = fails_of(proof.report, "clearance");
  REQUIRE(fails.size() == 1);
  CHECK(fails[0].mend == "move 'post' 2.6 mm along world +x: that gains what is asked all along this step");
}
