// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/finding_places.hpp"

#include <algorithm>

namespace cellproof {

namespace {

bool alike(const Finding& a, const Finding& b) {
  return a.check == b.check && a.severity == b.severity && a.step == b.step && a.between == b.between &&
         a.between.empty() == b.between.empty() && (!a.between.empty() || a.time_s.has_value() == b.time_s.has_value());
}

/// How far a finding is from what is asked, by what is asked; 0 if it has no figures.
double shortfall(const Finding& finding) {
  if (!finding.measured || !finding.required || *finding.required == 0) return 0;
  return (*finding.required - *finding.measured) / *finding.required;
}

void take_in(FindingGroup& group, const Report& report, std::size_t number) {
  const Finding& finding = report.findings[number];
  group.all.push_back(number);
  if (shortfall(finding) > shortfall(report.findings[group.worst])) group.worst = number;
  if (!finding.run.empty() && std::ranges::find(group.runs, finding.run) == group.runs.end())
    group.runs.push_back(finding.run);
}

void add_once(std::vector<int>& bodies, int body) {
  if (std::ranges::find(bodies, body) == bodies.end()) bodies.push_back(body);
}

/// What stands before the targets of a look that a finding is of.
void add_blockers(const Proof& proof, const Finding& finding, std::vector<int>& bodies) {
  constexpr double least_share = 0.001;
  for (const ViewFigure& view : proof.report.views) {
    if (view.run != finding.run || view.step != finding.step || view.others != finding.others) continue;
    for (const TargetView& target : view.view.targets)
      if (std::ranges::count(finding.between, proof.scene->cell.targets[static_cast<std::size_t>(target.target)].name))
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

std::vector<int> bodies_of_finding(const Proof& proof, std::size_t finding) {
  const Finding& found = proof.report.findings[finding];
  std::vector<int> bodies;
  for (std::size_t i = 0; i < proof.scene->bodies.size(); ++i)
    if (std::ranges::count(found.between, proof.scene->bodies[i].name)) add_once(bodies, static_cast<int>(i));
  if (found.check == "sightline") add_blockers(proof, found, bodies);
  return bodies;
}

std::optional<FindingPlace> place_of_finding(const Proof& proof, std::size_t finding) {
  const Finding& found = proof.report.findings[finding];
  if (!found.time_s) return std::nullopt;
  const auto run = run_named(*proof.cycle, found.run, found.others);
  return run ? std::optional(FindingPlace{*run, *found.time_s}) : std::nullopt;
}

std::vector<FindingGroup> finding_groups(const Report& report) {
  std::vector<FindingGroup> groups;
  for (std::size_t i = 0; i < report.findings.size(); ++i) {
    auto group = std::ranges::find_if(
        groups, [&](const FindingGroup& known) { return alike(report.findings[known.worst], report.findings[i]); });
    if (group == groups.end()) group = groups.insert(groups.end(), FindingGroup{i, {}, {}});
    take_in(*group, report, i);
  }
  std::ranges::stable_sort(groups, {}, [&](const FindingGroup& group) {
    return report.findings[group.worst].severity == Severity::fail ? 0 : 1;
  });
  return groups;
}

std::optional<std::size_t> next_group(std::size_t count, std::optional<std::size_t> now, bool backwards) {
  if (count == 0) return std::nullopt;
  if (!now) return backwards ? count - 1 : 0;
  return (*now + (backwards ? count - 1 : 1)) % count;
}

}  // namespace cellproof
