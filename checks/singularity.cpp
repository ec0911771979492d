// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"
#include "kinematics/inverse/singular_kind.hpp"
#include "scene/cycle/other_way.hpp"

namespace cellproof {

std::vector<Finding> check_singularity(const Evidence& evidence) {
  std::vector<Finding> findings;
  const double asked = evidence.scene.cell.rules.singular;
  const Arm& arm = evidence.scene.cell.arm.arm;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!(measures.path.singular_value < asked)) return;
    if (stretch.kind != StretchKind::joint && stretch.kind != StretchKind::linear) return;
    if (stretch.motion.path.goes_nowhere()) return;
    Finding finding =
        finding_at(Check::singularity, Severity::caution, run, stretch, time_at(stretch, measures.path.singular_s));
    finding.judged = {measures.path.singular_value, asked, "share"};
    finding.message = fmt::format(
        "near a singular pose ({}; least singular value {}, asked {:.4f}): small moves of the tool there "
        "need large joint moves",
        text_of(singular_kind(arm, measures.path.at_singular)), told_from(measures.path.singular_value, asked, 4),
        asked);
    finding.mend = stretch.kind == StretchKind::joint ? "harmless in a joint move; teach no line near this pose"
                                                      : "move the seat, turn the tool a little, or " +
                                                            other_way(evidence.scene.cell, stretch.step_index);
    findings.push_back(std::move(finding));
  });
  return findings;
}

}  // namespace cellproof
