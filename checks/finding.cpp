// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/finding.hpp"

#include <stdexcept>

namespace cellproof {

std::string_view name_of(Check check) {
  switch (check) {
    case Check::reach:
      return "reach";
    case Check::limits:
      return "limits";
    case Check::singularity:
      return "singularity";
    case Check::speed:
      return "speed";
    case Check::clearance:
      return "clearance";
    case Check::sightline:
      return "sightline";
    case Check::grip:
      return "grip";
    case Check::wrist:
      return "wrist";
    case Check::hold:
      return "hold";
    case Check::release:
      return "release";
    case Check::supply:
      return "supply";
    case Check::sequence:
      return "sequence";
    case Check::model:
      return "model";
  }
  throw std::logic_error("no such check");
}

FindingIdentity identity(const Finding& finding) {
  return {finding.check, finding.run, finding.step, finding.others, finding.between};
}

FindingIdentity in_any_run(const Finding& finding) {
  return {finding.check, {}, finding.step, {}, finding.between};
}

FindingCause cause(const Finding& finding) {
  const bool by_rule = finding.check == Check::clearance && finding.judged;
  return {finding.check, finding.between.empty() ? finding.step : std::string(),
          finding.about.empty() ? finding.between : finding.about, by_rule ? finding.judged->required : std::nullopt};
}

bool is_worse(const Finding& a, const Finding& b) {
  if (!a.judged || !b.judged) return false;
  const bool too_much = a.judged->required && a.judged->measured > *a.judged->required;
  return too_much ? a.judged->measured > b.judged->measured : a.judged->measured < b.judged->measured;
}

}  // namespace cellproof
