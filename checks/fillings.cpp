// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/fillings.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace cellproof {

namespace {

/// The first stretch of `run` that ends in other joint values than the other run's; none if there is none, or if one of
/// them stops early.
const Stretch* first_other_pose(const CycleRun& other, const CycleRun& run) {
  constexpr double same = 1e-6;
  if (other.failure || run.failure || other.stretches.size() != run.stretches.size()) return nullptr;
  for (std::size_t i = 0; i < run.stretches.size(); ++i) {
    const Joints apart = run.stretches[i].motion.path.end() - other.stretches[i].motion.path.end();
    if (apart.cwiseAbs().maxCoeff() > same) return &run.stretches[i];
  }
  return nullptr;
}

Finding caution(const CycleRun& first, const CycleRun& run, const Stretch& stretch) {
  Finding finding;
  finding.check = Check::sequence;
  finding.severity = Severity::caution;
  finding.run = run.name;
  finding.others = run.others;
  finding.step = stretch.step;
  finding.time_s = stretch.end_s;
  finding.message = fmt::format(
      "the arm takes other joint values from here on than with '{}' in the other seats: the controller has to tell "
      "the two apart",
      first.others);
  finding.mend = "give the target `near` joint values that serve both, or leave out of `others` what never lies there";
  return finding;
}

}  // namespace

std::vector<Finding> filling_findings(const Cycle& cycle) {
  std::vector<Finding> findings;
  std::set<std::string> told;
  for (const CycleRun& run : cycle.runs) {
    const auto first = std::ranges::find(cycle.runs, run.name, &CycleRun::name);
    const Stretch* other = first_other_pose(*first, run);
    if (other && told.insert(run.name).second) findings.push_back(caution(*first, run, *other));
  }
  return findings;
}

}  // namespace cellproof
