// SPDX-License-Identifier: GPL-3.0-or-later
// What is told of a pair holds over the whole cycle, whatever else came closer where the pair was nearest.
#include "checks/closest_pairs.hpp"

#include "checks/checked_pairs.hpp"
#include "checks/studies/margins.hpp"
#include "tests/support/mesh_files.hpp"
#include "tests/support/proof.hpp"
#include "tests/support/proof_oracle.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A hand swings past a post at 8 deg to each side of it and then away. Where it passes, a shelf under it is nearer.
std::string swing(double shelf_gap, bool shelf_first = false) {
  const std::string shelf = body_text("shelf", "world", fmt::format("{{ xyz = [790, 0, {}] }}", 940 - shelf_gap),
                                      "box = [60, 20, 100]"),
                    post = body_text("post", "world", "{ xyz = [882, 0, 1030] }", "box = [100, 80, 300]");
  return head + body_text("hand", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 80]") +
         (shelf_first ? shelf + post : post + shelf) + "[rules]\nclearance = 0.5\n" +
         cycle_from("-8, 0, 0, 0, -90, 0") + joint_move("8, 0, 0, 0, -90, 0") + joint_move("60, 0, 0, 0, -90, 0");
}

/// Derived: the hand's outer corners are 820 ahead and 30 to the side of base z, the post's face is 832 ahead.
const double least_to_post = 832 - std::hypot(820, 30);

const ClosestFigure& listed(const Report& report, const PairName& name) {
  for (const ClosestFigure& pair : report.closest)
    if (pair_name(pair.between) == name) return pair;
  FAIL("not listed: " << name[0] << " / " << name[1]);
  return report.closest.front();
}

const PairName hand_and_post{"hand", "post"}, hand_and_shelf{"hand", "shelf"};

}  // namespace

TEST_CASE("a pair is listed with its least distance of the cycle though another was nearer there") {
  const Report report = proof_of(swing(1)).report;
  REQUIRE(report.closest.size() == 2);
  const ClosestFigure &post = listed(report, hand_and_post), &shelf = listed(report, hand_and_shelf);
  CHECK(post.lower_mm <= least_to_post);
  CHECK(post.upper_mm >= least_to_post);
  CHECK(post.upper_mm - post.lower_mm <= 0.02 * post.upper_mm);
  CHECK(post.step == report.steps[0].name);
  CHECK(shelf.lower_mm <= 1);
  CHECK(shelf.lower_mm >= 0.9);
  CHECK(report.closest.front().between == shelf.between);
}

TEST_CASE("two bodies that change places in the file change no figure") {
  const Report one = proof_of(swing(1)).report, other = proof_of(swing(1, true)).report;
  REQUIRE(one.closest.size() == other.closest.size());
  for (std::size_t i = 0; i < one.closest.size(); ++i) {
    CHECK(one.closest[i].between == other.closest[i].between);
    CHECK(one.closest[i].step == other.closest[i].step);
    CHECK(one.closest[i].lower_mm == other.closest[i].lower_mm);
    CHECK(one.closest[i].upper_mm == other.closest[i].upper_mm);
  }
}

TEST_CASE("of equally specific rules for a pair the larger holds, whichever comes first") {
  const std::string by_kind = "[[clearance]]\nbetween = [\"end effector\", \"post\"]\nleast = 20\n",
                    by_name = "[[clearance]]\nbetween = [\"hand\", \"surroundings\"]\nleast = 0.4\n";
  for (const std::string& rules : {by_kind + by_name, by_name + by_kind}) {
    const auto findings = fails_of(proof_of(swing(1) + rules).report, "clearance");
    REQUIRE_FALSE(findings.empty());
    for (const Finding& finding : findings) {
      CHECK(finding.between == std::vector<std::string>{"hand", "post"});
      CHECK(finding.judged->required.value() == 20);
    }
  }
}

TEST_CASE("versions are compared by distances that are enclosed in each, listed there or not") {
  // Given twelve posts around a hand that turns, one of them nearer in the second version, where another is not listed
  // any more.
  const auto ring = [](double last_at) {
    std::string text = head + body_text("hand", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 80]");
    for (int i = 0; i < 12; ++i) {
      const double at = i == 11 ? last_at : 850 + 4 * i, bearing = 15 * i;
      text += body_text(fmt::format("post {}", i), "world",
                        fmt::format("{{ xyz = [{}, {}, 1030], turn = [0, 0, {}] }}", at * std::cos(radians(bearing)),
                                    at * std::sin(radians(bearing)), bearing),
                        "box = [20, 20, 300]");
    }
    return text + "[rules]\nclearance = 1\n" + cycle_from("-10, 0, 0, 0, -90, 0") + joint_move("169, 0, 0, 0, -90, 0");
  };
  const std::vector<Proof> versions{proof_of(ring(900)), proof_of(ring(842))};
  REQUIRE(versions[0].report.closest.size() == 10);
  REQUIRE(versions[1].report.closest.size() == 10);
  const auto margins = compared(versions, Run{});
  const auto margin_of = [&](const std::string& name) {
    const auto row =
        std::ranges::find_if(margins, [&](const ComparedMargin& each) { return each.margin.name == name; });
    REQUIRE(row != margins.end());
    return *row;
  };
  // Then each post's distance is there in both. Derived: its inner face less the reach of the hand's corner.
  const double reach = std::hypot(820, 30);
  for (int i = 0; i < 10; ++i) {
    const ComparedMargin row = margin_of(fmt::format("hand / post {}", i));
    for (std::size_t version = 0; version < 2; ++version) {
      const double truth = 840 + 4 * i - reach;
      CAPTURE(i, version);
      REQUIRE(row.values[version]);
      CHECK(*row.values[version] <= truth);
      CHECK(*row.values[version] >= truth - std::max(0.1, 0.02 * truth));
    }
    CHECK_FALSE(row.changed(1));
  }
  const ComparedMargin last = margin_of("hand / post 11");
  CHECK(*last.values[0] == Approx(890 - reach).margin(1.5));
  CHECK(*last.values[1] == Approx(832 - reach).margin(0.3));
  CHECK(last.changed(1));
}

namespace {

/// A plate of 3,200 triangles that lie all but equally high: by up to `bumps` (mm) below 0.
Mesh bumpy_plate(double bumps) {
  std::mt19937_64 engine(77);
  Mesh mesh;
  constexpr std::uint32_t side = 41;
  for (std::uint32_t i = 0; i < side; ++i)
    for (std::uint32_t j = 0; j < side; ++j)
      mesh.vertices.emplace_back(4.0 * i - 80, 4.0 * j - 80, -bumps * static_cast<double>(engine() % 1000) / 1000);
  for (std::uint32_t i = 0; i + 1 < side; ++i)
    for (std::uint32_t j = 0; j + 1 < side; ++j) {
      const std::uint32_t corner = side * i + j;
      mesh.triangles.push_back({corner, corner + side, corner + side + 1});
      mesh.triangles.push_back({corner, corner + side + 1, corner + 1});
    }
  return mesh;
}

}  // namespace

TEST_CASE("a pair at rest is told no further apart than it is, in its step and along time") {
  // What a search may leave undone is up to 0.0001 mm in a step and 0.01 mm in a curve: the plate tempts it to that.
  for (const double bumps : {1e-5, 1e-4, 1e-3, 1e-2, 0.1})
    for (const double gap : {0.002, 1.0, 30.0}) {
      const ModelFolder folder;
      const std::string plate = folder.write("plate.obj", bumpy_plate(bumps));
      const std::string text = head + body_text("hand", "flange", "{ xyz = [0, 0, 40] }", "box = [120, 120, 80]") +
                               body_text("plate", "world", fmt::format("{{ xyz = [790, 0, {}] }}", 990 - gap),
                                         fmt::format("mesh = \"{}\"\nmesh_unit = \"mm\"", plate)) +
                               "[rules]\nclearance = 0.5\n" + cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nwait = 1\n";
      Run run;
      run.curves = true;
      const auto proof = prove(cell_of(text), run);
      REQUIRE(proof);
      const Stretch& stretch = proof->cycle->runs[0].stretches[0];
      const auto pairs = checked_pairs(*proof->scene, stretch);
      REQUIRE(pairs.size() == 1);
      const double truth = StretchOracle(*proof->scene, stretch).distance(pairs[0].a, pairs[0].b, 0);
      const StepFigure& step = proof->report.steps[0];
      CAPTURE(bumps, gap, truth);
      CHECK(step.clearance->lower_mm <= truth);
      CHECK(step.clearance->lower_mm >= truth - 1e-4);
      CHECK(step.clearance->upper_mm >= truth - 1e-9);
      CHECK(proof->report.closest.at(0).lower_mm <= truth);
      REQUIRE(step.clearance_over_time.size() == 1);
      CHECK(step.clearance_over_time[0].lower_mm <= truth);
    }
}
