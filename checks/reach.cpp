// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "checks/checks.hpp"

namespace cellproof {

std::vector<Finding> check_reach(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const auto& run : evidence.cycle.runs) {
    if (!run.failure) continue;
    const PlanFailure& failure = *run.failure;
    Finding finding;
    switch (failure.why) {
      case PlanFailure::Why::out_of_reach:
      case PlanFailure::Why::no_method:
        finding.check = Check::reach;
        break;
      case PlanFailure::Why::limits:
        finding.check = Check::limits;
        break;
      case PlanFailure::Why::singularity:
        finding.check = Check::singularity;
        break;
      case PlanFailure::Why::wrong_state:
        finding.check = Check::sequence;
        break;
    }
    finding.run = run.name;
    finding.others = run.others;
    finding.step = failure.step;
    finding.time_s = failure.time_s;
    if (std::isfinite(failure.measured)) finding.judged = {failure.measured, failure.required, failure.unit};
    finding.message = failure.message;
    finding.mend = failure.mend;
    const auto& tried = evidence.measures.line_mends;
    if (failure.step_index && failure.step_index.index() < tried.size())
      if (const std::string& words = tried[failure.step_index]; !words.empty())
        finding.mend += (finding.mend.empty() ? "" : ". ") + words;
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace cellproof
