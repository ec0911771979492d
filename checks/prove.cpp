// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/prove.hpp"

#include <algorithm>
#include <chrono>

#include <fmt/format.h>

#include "checks/best_choices.hpp"
#include "checks/checks.hpp"
#include "checks/closest_pairs.hpp"
#include "checks/each_stretch.hpp"
#include "checks/figures.hpp"
#include "checks/finding_about.hpp"
#include "checks/gap_groups.hpp"
#include "checks/measured_cycle.hpp"
#include "checks/roots.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

/// Says which filling of the other seats a finding belongs to, where there are several.
void tell_filling(const Cell& cell, Finding& finding) {
  if (!several_fillings(cell)) finding.others.clear();
  if (finding.others.empty()) return;
  finding.message += finding.others == "none" ? "; found with the other seats empty"
                                              : fmt::format("; found with '{}' in the other seats", finding.others);
}

std::vector<Finding> all_findings(const Evidence& evidence) {
  std::vector<Finding> all;
  for (const std::span<const Question> group :
       {std::span<const Question>(questions_of_sizes), std::span<const Question>(questions_of_models),
        std::span<const Question>(questions_of_motion), std::span<const Question>(questions_of_forces),
        std::span<const Question>(questions_of_gaps), std::span<const Question>(questions_of_sight)})
    std::ranges::move(asked(group, evidence), std::back_inserter(all));
  for (auto& finding : all) {
    tell_filling(evidence.scene.cell, finding);
    tell_about(evidence.scene, finding);
  }
  std::stable_sort(all.begin(), all.end(), [](const Finding& a, const Finding& b) {
    if (a.severity != b.severity) return a.severity == Severity::fail;
    return a.time_s.value_or(0) < b.time_s.value_or(0);
  });
  return all;
}

long distances_asked(const Measures& measures) {
  long sum = 0;
  for (const auto& run : measures.runs)
    for (const auto& stretch : run) sum += stretch.clearance.queries;
  return sum;
}

}  // namespace

std::vector<Finding> asked(std::span<const Question> questions, const Evidence& evidence) {
  std::vector<Finding> all;
  for (const Question question : questions) std::ranges::move(question(evidence), std::back_inserter(all));
  return all;
}

Input<Proof> prove(const Cell& cell, const Run& asked_run) {
  const auto begun = std::chrono::steady_clock::now();
  if (!cell.cycle)
    return tl::unexpected(InputError{cell.file.string(), 0, "cycle", "there is no [cycle] to check",
                                     "add one with `start` and its steps"});
  Run run = asked_run;
  if (!run.results) run.results = std::make_shared<PairResults>();  // seats of one cycle share most of their pairs
  if (run.progress) run.progress(0, "opening the models");
  auto scene = build_scene(cell, run.stop, run.threads);
  if (!scene) return tl::unexpected(scene.error());

  Proof proof;
  proof.cancelled = run.stop.stop_requested();
  if (proof.cancelled) return proof;
  proof.scene = std::make_shared<const Scene>(std::move(*scene));
  auto [cycle, measures] = measured_cycle(*proof.scene, run);
  take_best_choices(*proof.scene, run, cycle, measures);
  tell_closest_pairs(*proof.scene, cycle, run, measures);
  tell_gap_groups(*proof.scene, cycle, run, measures);
  proof.cycle = std::make_shared<const Cycle>(std::move(cycle));
  measure_forces(*proof.scene, *proof.cycle, run, measures);
  measure_pictures(*proof.scene, *proof.cycle, run, measures);
  measure_ways_out(*proof.scene, *proof.cycle, run, measures);
  measure_line_mends(*proof.scene, *proof.cycle, run, measures);
  proof.distances_asked = distances_asked(measures);
  if (run.stop.stop_requested()) {
    proof.cancelled = true;
    return proof;
  }
  const Evidence evidence{*proof.scene, *proof.cycle, measures};
  proof.report = figures_of(evidence);
  proof.report.findings = all_findings(evidence);
  tell_roots(evidence, run, proof.report.findings);
  if (run.stop.stop_requested()) {
    proof.cancelled = true;
    return proof;
  }
  proof.report.pass = std::none_of(proof.report.findings.begin(), proof.report.findings.end(),
                                   [](const Finding& finding) { return finding.severity == Severity::fail; });
  proof.report.check_time_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
  return proof;
}

}  // namespace cellproof
