// SPDX-License-Identifier: GPL-3.0-or-later
#include <map>
#include <tuple>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"

namespace cellproof {

namespace {

Finding cut_finding(const Scene& scene, const CycleRun& run, const Stretch& stretch, const MeantCut& cut) {
  const std::string& a = scene.bodies[cut.pair.a].name;
  const std::string& b = scene.bodies[cut.pair.b].name;
  const double meant = scene.cell.rules.contact_depth;
  Finding finding =
      finding_at(Check::clearance, cut.pair.freed ? Severity::caution : Severity::fail, run, stretch, cut.time_s);
  finding.between = {a, b};
  finding.judged = {cut.depth_mm, meant, "mm"};
  finding.message =
      fmt::format("'{}' and '{}' cut {} mm deep {}; contact_depth is {:g} mm", a, b, told_from(cut.depth_mm, meant, 2),
                  cut.pair.freed ? "where [[contact]] lets them" : "where they meet at the seat", meant);
  finding.mend = cut.pair.freed
                     ? "see whether the cut is meant; a [[contact]] hides a collision as well as a drawing's overlap"
                     : fmt::format(
                           "move the grasp or the seat by {} mm, or take metal off the drawing; raise "
                           "contact_depth only for what gives way, as rubber does",
                           told_from(cut.depth_mm - meant, 0, 2));
  return finding;
}

}  // namespace

std::vector<Finding> check_contact(const Evidence& evidence) {
  // One finding for a pair in a step, one for a freed pair in a run: the deepest.
  std::map<std::tuple<const CycleRun*, StepId, BodyId, BodyId>, std::size_t> known;
  std::vector<Finding> findings;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    for (const auto& cut : measures.cuts) {
      Finding finding = cut_finding(evidence.scene, run, stretch, cut);
      const auto [place, is_new] = known.try_emplace(
          {&run, cut.pair.freed ? StepId{} : stretch.step_index, cut.pair.a, cut.pair.b}, findings.size());
      if (is_new)
        findings.push_back(std::move(finding));
      else if (is_worse(finding, findings[place->second]))
        findings[place->second] = std::move(finding);
    }
  });
  return findings;
}

}  // namespace cellproof
