// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/finding_places.hpp"

#include <algorithm>

namespace cellproof {

namespace {

void add_once(std::vector<BodyId>& bodies, BodyId body) {
  if (std::ranges::find(bodies, body) == bodies.end()) bodies.push_back(body);
}

/// What stands before the targets of a look that a finding is of.
void add_blockers(const Proof& proof, const Finding& finding, std::vector<BodyId>& bodies) {
  constexpr double least_share = 0.001;
  for (const ViewFigure& view : proof.report.views) {
    if (view.run != finding.run || view.step != finding.step || view.others != finding.others) continue;
    for (const TargetView& target : view.view.targets)
      if (std::ranges::count(finding.between, proof.scene->cell.targets[target.target].name))
        for (const BlockedShare& blocker : target.blocked_by)
          if (blocker.share >= least_share) add_once(bodies, blocker.body);
  }
}

}  // namespace

std::optional<std::size_t> run_named(const Cycle& cycle, const std::string& run, const std::string& others) {
  for (std::size_t i = 0; i < cycle.runs.size(); ++i)
    if (cycle.runs[i].name == run && (others.empty() || cycle.runs[i].others == others)) return i;
  return std::nullopt;
}

std::vector<BodyId> bodies_of_finding(const Proof& proof, std::size_t finding) {
  const Finding& found = proof.report.findings[finding];
  std::vector<BodyId> bodies;
  for (const BodyId i : ids_of(proof.scene->bodies))
    if (std::ranges::count(found.between, proof.scene->bodies[i].name)) add_once(bodies, i);
  if (found.check == Check::sightline) add_blockers(proof, found, bodies);
  return bodies;
}

std::optional<FindingPlace> place_of_finding(const Proof& proof, std::size_t finding) {
  const Finding& found = proof.report.findings[finding];
  if (!found.time_s) return std::nullopt;
  const auto run = run_named(*proof.cycle, found.run, found.others);
  return run ? std::optional(FindingPlace{*run, *found.time_s}) : std::nullopt;
}

}  // namespace cellproof
