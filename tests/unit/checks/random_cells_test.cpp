// SPDX-License-Identifier: GPL-3.0-or-later
// Every distance that a report prints, against an oracle that samples the motion in long double: what is sampled is
// never nearer than the truth, so that no proven bound may lie above it.
#include "tests/support/random_cells.hpp"

#include <cstdlib>
#include <set>

#include "checks/checked_pairs.hpp"
#include "checks/studies/margins.hpp"
#include "scene/clearance/clearance.hpp"
#include "tests/support/bar_past_wall.hpp"
#include "tests/support/proof_oracle.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

constexpr double rounding_mm = 1e-6;
/// Samples of a step, and how closely it is looked at about the least of them.
constexpr int few = 7, many = 15;
constexpr double coarse = 5e-3, fine = 1e-6;
constexpr double left_undone_mm = 0.02;  // a found distance may be this much more than the least at its instant

/// The tenth that every run makes, or the whole with CELLPROOF_LONG in the environment.
int cases(int whole) {
  return std::getenv("CELLPROOF_LONG") != nullptr ? whole : whole / 10;
}

Proof proof_with_curves(const std::string& text) {
  Run run;
  run.threads = 1;
  run.curves = true;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  return *proof;
}

/// What a pair's bounds may be off by on each side, beside rounding: meshes that stray from their surfaces, and the
/// chain of knots that stands for a line.
double stray_of(const Scene& scene, const Stretch& stretch, const PairAsked& pair) {
  double stray = stretch.motion.path.stray_mm();
  for (const BodyId body : {pair.a, pair.b}) {
    const Deviation& deviation = scene.bodies[body].solid->mesh().deviation;
    stray += std::max(deviation.inside, deviation.outside);
  }
  return stray;
}

double allowed(double upper_mm, double stray) {
  return std::max(0.1, 0.02 * upper_mm) + 2 * stray + 1e-9;
}

using Names = std::set<std::string>;
Names names_of(const Scene& scene, const PairAsked& pair) {
  return {scene.bodies[pair.a].name, scene.bodies[pair.b].name};
}
template <class Between>
Names names_of(const Between& between) {
  return {between[0], between[1]};
}

/// The least distance of each pair over the whole cycle, sampled.
struct CycleTruth {
  std::map<Names, double> least, stray;
  double largest = 0;  ///< coordinate of a body, for what rounding the oracle's own inputs have
};

void check_step(const Scene& scene, const Stretch& stretch, const StepFigure& step, CycleTruth& truth) {
  const StretchOracle oracle(scene, stretch);
  const auto pairs = checked_pairs(scene, stretch);
  const StretchClearance found = measure_clearance(scene, stretch, pairs);
  double least = HUGE_VAL;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Names names = names_of(scene, pairs[i]);
    const bool printed = step.clearance && names == names_of(step.clearance->between);
    double nearest = HUGE_VAL;
    for (const Span& span : pairs[i].spans)
      nearest =
          std::min(nearest, oracle.least(pairs[i].a, pairs[i].b, span, printed ? many : few, printed ? fine : coarse));
    CAPTURE(*names.begin(), *names.rbegin(), nearest, found.pairs[i].lower_mm, found.pairs[i].upper_mm);
    CHECK(found.pairs[i].lower_mm <= nearest + rounding_mm);
    least = std::min(least, nearest);
    const auto known = truth.least.try_emplace(names, nearest).first;
    known->second = std::min(known->second, nearest);
    truth.stray[names] = std::max(truth.stray[names], stray_of(scene, stretch, pairs[i]));
    if (!printed) continue;
    // The pair, the instant and both figures belong together.
    const ClearanceFigure& figure = *step.clearance;
    const double there = oracle.solid_distance(pairs[i].a, pairs[i].b,
                                               share_at(stretch, std::clamp(figure.time_s, step.start_s, step.end_s)));
    const double stray = stray_of(scene, stretch, pairs[i]);
    CAPTURE(figure.lower_mm, figure.upper_mm, figure.time_s, there, stray);
    CHECK(figure.lower_mm <= nearest + rounding_mm);
    const double times = 1e-5 + 1e-7 * truth.largest;  // what rounding of the instant may come to
    CHECK(figure.upper_mm >= there - 2 * stray - times);
    CHECK(figure.upper_mm <= there + 2 * stray + times + left_undone_mm);
    CHECK(figure.upper_mm - figure.lower_mm <= allowed(figure.upper_mm, stray));
    CHECK((figure.points[0] - figure.points[1]).norm() <= figure.upper_mm + 1e-6);
  }
  CHECK(step.clearance.has_value() == !pairs.empty());
  if (step.clearance) CHECK(step.clearance->lower_mm <= least + rounding_mm);
}

void check_curve(const Scene& scene, const Stretch& stretch, const StepFigure& step) {
  const StretchOracle oracle(scene, stretch);
  const auto& curve = step.clearance_over_time;
  for (std::size_t i = 0; i < curve.size(); i += 5) {
    const double from = curve[i].time_s, to = i + 1 < curve.size() ? curve[i + 1].time_s : step.end_s;
    for (const PairAsked& pair : checked_pairs(scene, stretch))
      for (const Span& span : pair.spans)
        for (const double part : {0.1, 0.6}) {
          const double share = share_at(stretch, from + part * (to - from));
          if (share < span.from || share > span.to) continue;
          CAPTURE(i, part, share, curve[i].lower_mm);
          CHECK(curve[i].lower_mm <= oracle.distance(pair.a, pair.b, share, curve[i].lower_mm + 1) + rounding_mm);
        }
  }
}

void check_list(const std::vector<ClosestFigure>& closest, const CycleTruth& truth) {
  CHECK(closest.size() == std::min<std::size_t>(10, truth.least.size()));
  std::set<Names> listed;
  for (const ClosestFigure& pair : closest) {
    const Names names = names_of(pair.between);
    CAPTURE(pair.between[0], pair.between[1], pair.lower_mm, pair.upper_mm);
    CHECK(listed.insert(names).second);
    REQUIRE(truth.least.count(names) == 1);
    CHECK(pair.lower_mm <= truth.least.at(names) + rounding_mm);
    CHECK(pair.upper_mm - pair.lower_mm <= allowed(pair.upper_mm, truth.stray.at(names)));
    CHECK(pair.lower_mm <= pair.upper_mm);
  }
  for (const auto& [names, least] : truth.least)
    if (!listed.count(names)) {
      CAPTURE(*names.begin(), *names.rbegin(), least);
      CHECK(least + allowed(least, truth.stray.at(names)) >= closest.back().upper_mm);
    }
}

double largest_of(const Scene& scene) {
  double largest = 0;
  for (const Frame& frame : scene.frames) largest += frame.in_parent.translation().norm();
  for (const DhRow& row : scene.cell.arm.arm.rows) largest += std::abs(row.a) + std::abs(row.d);
  return largest;
}

CycleTruth check_report(const Proof& proof, bool with_curves) {
  CycleTruth truth;
  truth.largest = largest_of(*proof.scene);
  auto step = proof.report.steps.begin();
  for (const CycleRun& run : proof.cycle->runs)
    for (const Stretch& stretch : run.stretches) {
      CAPTURE(step->name);
      check_step(*proof.scene, stretch, *step, truth);
      if (with_curves) check_curve(*proof.scene, stretch, *step);
      ++step;
    }
  check_list(proof.report.closest, truth);
  return truth;
}

void check_same(double a, double b) {
  if (std::isfinite(a) || std::isfinite(b)) CHECK(std::abs(a - b) <= 1e-9);
}

void check_same_step(const StepFigure& one, const StepFigure& other) {
  CAPTURE(one.name);
  REQUIRE(one.clearance.has_value() == other.clearance.has_value());
  REQUIRE(one.clearance_over_time.size() == other.clearance_over_time.size());
  for (std::size_t i = 0; i < one.clearance_over_time.size(); ++i) {
    check_same(one.clearance_over_time[i].lower_mm, other.clearance_over_time[i].lower_mm);
    check_same(one.clearance_over_time[i].upper_mm, other.clearance_over_time[i].upper_mm);
  }
  if (!one.clearance) return;
  const ClearanceFigure &a = *one.clearance, &b = *other.clearance;
  CHECK(a.between == b.between);
  check_same(a.lower_mm, b.lower_mm);
  check_same(a.upper_mm, b.upper_mm);
  check_same(a.time_s, b.time_s);
  CHECK((a.points[0] - b.points[0]).norm() + (a.points[1] - b.points[1]).norm() <= 1e-9);
}

/// Nothing that is told hangs on the order of tables.
void check_same_report(const Report& one, const Report& other) {
  CHECK(one.pass == other.pass);
  REQUIRE(one.steps.size() == other.steps.size());
  for (std::size_t i = 0; i < one.steps.size(); ++i) check_same_step(one.steps[i], other.steps[i]);
  REQUIRE(one.closest.size() == other.closest.size());
  for (std::size_t i = 0; i < one.closest.size(); ++i) {
    CHECK(one.closest[i].between == other.closest[i].between);
    CHECK(one.closest[i].step == other.closest[i].step);
    check_same(one.closest[i].time_s, other.closest[i].time_s);
    check_same(one.closest[i].lower_mm, other.closest[i].lower_mm);
    check_same(one.closest[i].upper_mm, other.closest[i].upper_mm);
  }
  const auto found = findings_of(one, "clearance"), again = findings_of(other, "clearance");
  REQUIRE(found.size() == again.size());
  for (std::size_t i = 0; i < found.size(); ++i) {
    CHECK(found[i].message == again[i].message);
    CHECK(found[i].mend == again[i].mend);
    check_same(found[i].judged->measured, again[i].judged->measured);
    check_same(*found[i].time_s, *again[i].time_s);
  }
}

/// Margins of pairs against what both versions' cycles were sampled to come to.
void check_compared(const std::vector<Proof>& versions, const std::vector<CycleTruth>& truths) {
  const auto margins = compared(versions, Run{});
  for (std::size_t v = 0; v < versions.size(); ++v)
    for (const auto& [names, least] : truths[v].least) {
      const std::string name = *names.begin() + " / " + *names.rbegin();
      const auto row =
          std::ranges::find_if(margins, [&](const ComparedMargin& margin) { return margin.margin.name == name; });
      if (row == margins.end()) continue;
      CAPTURE(name, v, least);
      REQUIRE(row->values[v]);
      CHECK(*row->values[v] <= least + rounding_mm);
      if (least < HUGE_VAL) CHECK(*row->values[v] >= 0);
    }
}

}  // namespace

TEST_CASE("No distance of a random cell is told that the cell comes short of and no order of tables shows") {
  const int count = cases(2000);
  for (int i = 0; i < count; ++i) {
    Engine engine(4200 + static_cast<unsigned>(i));
    const RandomCell cell = random_cell_of(engine);
    CAPTURE(i, cell.text());
    const Proof proof = proof_with_curves(cell.text());
    const CycleTruth truth = check_report(proof, i % 4 == 0);
    check_same_report(proof.report, proof_with_curves(cell.text(&engine)).report);
    if (i % 4 != 1) continue;
    RandomCell other = cell;
    other.bodies.back().at.xyz[2] += 0.02 * cell.rows[1][0];
    const Proof moved = proof_with_curves(other.text());
    check_compared({proof, moved}, {truth, check_report(moved, false)});
  }
}
