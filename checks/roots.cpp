// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/roots.hpp"

#include <algorithm>
#include <functional>
#include <set>

#include <fmt/format.h>

#include "checks/best_choices.hpp"
#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/finding_about.hpp"
#include "checks/measured_cycle.hpp"
#include "scene/placement.hpp"

namespace cellproof {

namespace {

constexpr int most_tried = 6;

/// What fails for one cause.
struct Group {
  FindingCause cause;
  std::vector<std::size_t> findings;
  std::set<std::string> names;  ///< of what it is between
};

std::vector<Group> groups_of(const std::vector<Finding>& findings) {
  std::vector<Group> groups;
  for (std::size_t i = 0; i < findings.size(); ++i) {
    if (findings[i].severity != Severity::fail) continue;
    auto known = std::ranges::find(groups, cause(findings[i]), &Group::cause);
    if (known == groups.end()) known = groups.insert(groups.end(), {cause(findings[i]), {}, {}});
    known->findings.push_back(i);
    known->names.insert(findings[i].between.begin(), findings[i].between.end());
  }
  return groups;
}

bool is_between(const Scene& scene, const PairAsked& asked, const Finding& finding) {
  const std::string& a = scene.bodies[asked.a].name;
  const std::string& b = scene.bodies[asked.b].name;
  return finding.check == Check::clearance &&
         (finding.between == std::vector{a, b} || finding.between == std::vector{b, a});
}

/// The largest step that the group's mends ask of a body that can be set elsewhere along an axis of world, where that
/// serves all along.
std::optional<WayOut> largest_way(const Evidence& evidence, const std::vector<Finding>& findings, const Group& group) {
  std::optional<WayOut> largest;
  each_stretch(evidence, [&](const CycleRun&, const Stretch&, const StretchMeasures& measures) {
    auto way = measures.ways_out.begin();
    for (std::size_t i = 0; i < measures.pairs.size() && way != measures.ways_out.end(); ++i) {
      if (measures.clearance.pairs[i].lower_mm >= measures.pairs[i].least_mm) continue;
      const WayOut mine = *way++;
      if (!mine.by_hand || mine.in_flange || !mine.all_along || !(mine.shift_mm > 0)) continue;
      if (std::ranges::none_of(group.findings, [&](std::size_t one) {
            return is_between(evidence.scene, measures.pairs[i], findings[one]);
          }))
        continue;
      if (!largest || mine.shift_mm > largest->shift_mm) largest = mine;
    }
  });
  return largest;
}

/// The scene with the body set there; nothing if the file does not state the body by itself.
std::optional<Scene> mended(const Scene& scene, const WayOut& way) {
  const SceneBody& body = scene.bodies[way.body];
  if (!id_named(scene.cell.bodies, body.name)) return std::nullopt;
  const FrameId parent = scene.frames[body.frame].parent;
  const auto world = world_poses(scene, stated_arrangement(scene), scene.cell.cycle->start);
  Placement placement;
  placement.offset = world[parent].linear().transpose() * (way.sign * way.shift_mm * Vector3d::Unit(way.axis));
  return with_placement(scene, body.name, placement);
}

/// What fails, as `prove` would find it.
std::set<FindingCause> failing_causes(const Scene& scene, const Run& run) {
  Run quiet = run;
  quiet.progress = {};
  quiet.curves = false;
  auto [cycle, measures] = measured_cycle(scene, quiet);
  take_best_choices(scene, quiet, cycle, measures);
  measure_forces(scene, cycle, quiet, measures);
  measure_sightlines(scene, cycle, quiet, measures);
  const Evidence evidence{scene, cycle, measures};
  std::set<FindingCause> causes;
  for (const std::span<const Question> group :
       {std::span<const Question>(questions_of_sizes), std::span<const Question>(questions_of_motion),
        std::span<const Question>(questions_of_forces), std::span<const Question>(questions_of_gaps),
        std::span<const Question>(questions_of_sight)})
    for (Finding& finding : asked(group, evidence)) {
      if (finding.severity != Severity::fail) continue;
      tell_about(scene, finding);
      causes.insert(cause(finding));
    }
  return causes;
}

/// Whether the body that a mend moves is in another group's way too.
bool in_others_way(const std::vector<Group>& groups, const Group& mine, const std::string& body) {
  return std::ranges::any_of(groups, [&](const Group& other) { return &other != &mine && other.names.contains(body); });
}

void tell_further(const Scene& scene, const WayOut& way, const Group& group, std::vector<Finding>& findings) {
  for (const std::size_t one : group.findings)
    findings[one].mend +=
        fmt::format("; moved {}, '{}' clears what goes with this too", shift_text(way), scene.bodies[way.body].name);
}

/// A mend to try.
struct Candidate {
  std::size_t group = 0;
  WayOut way;
};

/// The mends of bodies that are in the way of several groups, the largest first: it is likely to clear most.
std::vector<Candidate> candidates(const Evidence& evidence, const std::vector<Finding>& findings,
                                  const std::vector<Group>& groups) {
  std::vector<Candidate> all;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (const auto way = largest_way(evidence, findings, groups[g]))
      if (in_others_way(groups, groups[g], evidence.scene.bodies[way->body].name)) all.push_back({g, *way});
  std::ranges::stable_sort(all, std::greater{}, [](const Candidate& one) { return one.way.shift_mm; });
  return all;
}

}  // namespace

void tell_roots(const Evidence& evidence, const Run& run, std::vector<Finding>& findings) {
  const std::vector<Group> groups = groups_of(findings);
  if (groups.size() < 2) return;
  std::set<FindingCause> before, settled;
  for (const Group& group : groups) before.insert(group.cause);
  int tried = 0;
  for (const Candidate& candidate : candidates(evidence, findings, groups)) {
    const Group& group = groups[candidate.group];
    if (settled.contains(group.cause) || tried == most_tried || run.stop.stop_requested()) continue;
    // As far as it is told, then by the rule further: others may ask for a little more the same way.
    for (const double further_mm : {0.0, evidence.scene.cell.rules.clearance}) {
      WayOut way = candidate.way;
      way.shift_mm += further_mm;
      const auto scene = mended(evidence.scene, way);
      if (!scene || settled.contains(group.cause)) break;
      ++tried;
      const auto after = failing_causes(*scene, run);
      if (after.contains(group.cause) || !std::ranges::includes(before, after)) continue;
      for (const Group& other : groups) {
        if (&other == &group || after.contains(other.cause) || settled.contains(other.cause)) continue;
        settled.insert({other.cause, group.cause});
        for (const std::size_t one : other.findings) findings[one].follows_from = group.findings.front();
      }
      if (further_mm > 0 && settled.contains(group.cause)) tell_further(evidence.scene, way, group, findings);
    }
  }
}

}  // namespace cellproof
