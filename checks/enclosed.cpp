// SPDX-License-Identifier: GPL-3.0-or-later
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/pair_rules.hpp"

namespace cellproof {

namespace {

const std::string& name_of(const Scene& scene, BodyId body) {
  return scene.bodies[body].name;
}

/// The clearance fails already where the pair lies so at the beginning of a move.
bool told_by_clearance(const StretchMeasures& measures, const InOpenMesh& in) {
  for (std::size_t i = 0; i < measures.pairs.size(); ++i) {
    const PairAsked& asked = measures.pairs[i];
    if ((asked.a == in.outer && asked.b == in.inner) || (asked.a == in.inner && asked.b == in.outer))
      return measures.clearance.pairs[i].upper_mm == 0;
  }
  return false;
}

Finding inside_finding(const Scene& scene, const CycleRun& run, const Stretch& stretch, const InOpenMesh& in) {
  const std::string &outer = name_of(scene, in.outer), &inner = name_of(scene, in.inner);
  Finding finding =
      finding_at(Check::clearance, in.freed ? Severity::caution : Severity::fail, run, stretch, in.time_s);
  finding.between = {inner, outer};
  if (!in.freed) {
    finding.judged = {0, rule_of_pair(scene, in.outer, in.inner).least_mm, "mm"};
  }
  finding.message =
      fmt::format("'{}' lies inside '{}', whose mesh has holes{}", inner, outer,
                  in.freed ? ", where [[contact]] lets it" : "; more of what surrounds it is surface than hole");
  finding.mend =
      in.freed ? "see whether that is meant; a [[contact]] hides a collision too"
               : fmt::format("lead it elsewhere; or, if '{}' is an enclosure, give its walls their thickness", outer);
  return finding;
}

Finding sheet_finding(const Scene& scene, const CycleRun& run, const Stretch& stretch, const InOpenMesh& in,
                      std::size_t others) {
  const std::string &outer = name_of(scene, in.outer), &inner = name_of(scene, in.inner);
  Finding finding = finding_at(Check::clearance, Severity::caution, run, stretch, in.time_s);
  finding.between = {inner, outer};
  finding.message = fmt::format(
      "'{}'{} lies inside '{}', which is taken for an enclosure without thickness, as a tenth of its surface or more "
      "is "
      "missing",
      inner, others == 0 ? "" : fmt::format(" (and {} more)", others), outer);
  finding.mend = "give its walls their thickness if it is one, close its mesh if it is a solid";
  return finding;
}

}  // namespace

/// A fail for a pair in a step, a caution for a freed pair, and one for each sheet.
std::vector<Finding> check_enclosed(const Evidence& evidence) {
  const Scene& scene = evidence.scene;
  std::vector<Finding> findings;
  std::set<std::pair<BodyId, BodyId>> freed;
  struct Sheet {
    const CycleRun* run;
    const Stretch* stretch;
    InOpenMesh first;
    std::set<BodyId> inner;
  };
  std::map<BodyId, Sheet> sheets;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    for (const InOpenMesh& in : measures.in_open) {
      if (in.within == Within::sheet && !in.freed) {
        sheets.try_emplace(in.outer, Sheet{&run, &stretch, in, {}}).first->second.inner.insert(in.inner);
      } else if (in.freed ? freed.insert({in.outer, in.inner}).second : !told_by_clearance(measures, in)) {
        findings.push_back(inside_finding(scene, run, stretch, in));
      }
    }
  });
  for (const auto& [outer, sheet] : sheets)
    findings.push_back(sheet_finding(scene, *sheet.run, *sheet.stretch, sheet.first, sheet.inner.size() - 1));
  return findings;
}

}  // namespace cellproof
