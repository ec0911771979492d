// SPDX-License-Identifier: GPL-3.0-or-later
// What was found about pairs is found again in proofs of cells that are alike.
#include "scene/clearance/pair_results.hpp"

#include "checks/checked_pairs.hpp"
#include "scene/cycle/plan.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A loader between a pallet and a vise, beside a post and over a bed; the pallet stands where it is put, and nothing
/// that the arm goes to is on it.
std::string cell_with_pallet(double pallet_y, double post_x = 845) {
  const auto at = [](double x, double y, double z) { return fmt::format("{{ xyz = [{}, {}, {}] }}", x, y, z); };
  return head + body_text("palm", "flange", at(0, 0, 30), "box = [60, 60, 60]") +
         body_text("fingers", "flange", at(0, 0, 80), "cylinder = { radius = 15, height = 40 }") +
         body_text("pallet", "world", at(700, pallet_y, 850), "box = [200, 150, 40]") +
         body_text("post", "world", at(post_x, 0, 900), "cylinder = { radius = 20, height = 300 }") +
         body_text("bed", "world", at(700, 0, 500), "box = [800, 1600, 100]") + cycle_from("-30, 0, 0, 0, -90, 0") +
         joint_move("30, 0, 0, 0, -90, 0") + joint_move("20, 10, -5, 0, -90, 0") + joint_move("-30, 0, 0, 0, -90, 0");
}

Proof proved_with(const std::string& text, const std::shared_ptr<PairResults>& results, int threads = 1) {
  Run run;
  run.threads = threads;
  run.results = results;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  return *proof;
}

/// Equal to the bit.
void check_same(const Report& one, const Report& other) {
  REQUIRE(one.steps.size() == other.steps.size());
  for (std::size_t i = 0; i < one.steps.size(); ++i) {
    REQUIRE(one.steps[i].clearance.has_value() == other.steps[i].clearance.has_value());
    if (!one.steps[i].clearance) continue;
    const ClearanceFigure &a = *one.steps[i].clearance, &b = *other.steps[i].clearance;
    CHECK(a.lower_mm == b.lower_mm);
    CHECK(a.upper_mm == b.upper_mm);
    CHECK(a.between == b.between);
    CHECK(a.time_s == b.time_s);
    CHECK(a.points == b.points);
  }
  REQUIRE(one.findings.size() == other.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i) {
    CHECK(one.findings[i].message == other.findings[i].message);
    CHECK(one.findings[i].mend == other.findings[i].mend);
  }
}

}  // namespace

TEST_CASE("The same cell proved again asks for no distance and says the same to the bit") {
  const auto results = std::make_shared<PairResults>();
  const Proof first = proved_with(cell_with_pallet(400), results), again = proved_with(cell_with_pallet(400), results),
              alone = proved_with(cell_with_pallet(400), nullptr, 2);
  CHECK(first.distances_asked > 50);
  CHECK(again.distances_asked == 0);
  CHECK_FALSE(first.report.findings.empty());
  check_same(first.report, again.report);
  check_same(first.report, alone.report);
}

TEST_CASE("With the pallet moved only its own pairs are measured anew") {
  PairResults results;
  const auto queries_of_pairs = [&](double pallet_y) {
    const Scene scene = scene_of(cell_with_pallet(pallet_y));
    const Cycle cycle = plan_cycle(scene);
    const BodyId pallet = body_named(scene, "pallet");
    std::array<long, 2> asked{};  // of pairs without and with the pallet
    for (const auto& stretch : cycle.runs.at(0).stretches)
      for (const auto& pair : checked_pairs(scene, stretch))
        asked[pair.a == pallet || pair.b == pallet] += measure_clearance(scene, stretch, {pair}, {}, &results).queries;
    return asked;
  };
  const auto first = queries_of_pairs(400), moved = queries_of_pairs(415);
  CHECK(first[0] > 0);
  CHECK(first[1] > 0);
  CHECK(moved[0] == 0);
  CHECK(moved[1] > 0);
}

TEST_CASE("A proof after a move asks for a part of the distances and says what a proof from nothing says") {
  const auto results = std::make_shared<PairResults>();
  proved_with(cell_with_pallet(400), results);
  const Proof kept = proved_with(cell_with_pallet(415), results), fresh = proved_with(cell_with_pallet(415), nullptr);
  CAPTURE(kept.distances_asked, fresh.distances_asked);
  CHECK(3 * kept.distances_asked < 2 * fresh.distances_asked);
  check_same(kept.report, fresh.report);
}

TEST_CASE("The cell as a whole set down elsewhere in the world is the same cell") {
  const auto placed = [](double x) {
    std::string text = cell_with_pallet(400);
    const std::string base = "[arm]\n";
    text.insert(text.find(base) + base.size(), fmt::format("base = {{ xyz = [{}, 0, 0] }}\n", x));
    for (const auto& [from, to] : {std::pair{700, 700 + x}, {845, 845 + x}})
      for (std::size_t at = 0; (at = text.find(fmt::format("xyz = [{},", from), at)) != std::string::npos; ++at)
        text.replace(at, fmt::format("xyz = [{},", from).size(), fmt::format("xyz = [{},", to));
    return text;
  };
  const auto results = std::make_shared<PairResults>();
  const Proof here = proved_with(placed(0), results), there = proved_with(placed(37.7), results);
  CHECK(there.distances_asked == 0);
  check_same(there.report, proved_with(placed(37.7), nullptr).report);
}

TEST_CASE("No more is kept than was allowed, and what is asked for stays") {
  Kept<double> kept(100);
  for (std::uint64_t i = 0; i < 1000; ++i) {
    kept.keep({1, i}, static_cast<double>(i));
    REQUIRE(kept.find({1, 0}).has_value());
    CHECK(kept.size() <= 101);
  }
  CHECK(*kept.find({1, 0}) == 0);
  CHECK(*kept.find({1, 999}) == 999);
  CHECK_FALSE(kept.find({1, 500}).has_value());
  CHECK_FALSE(kept.find({2, 999}).has_value());
}
