// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gathered_findings.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace cellproof {

std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity) {
  std::vector<Gathered> all;
  std::map<FindingCause, std::size_t> known;
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const Finding& finding = findings[i];
    if (finding.severity != severity) continue;
    const auto [entry, is_new] = known.emplace(cause(finding), all.size());
    if (is_new) all.push_back({i, {}, {}});
    Gathered& mine = all[entry->second];
    mine.all.push_back(i);
    if (is_worse(finding, findings[mine.worst])) mine.worst = i;
    if (!finding.run.empty() && std::find(mine.runs.begin(), mine.runs.end(), finding.run) == mine.runs.end())
      mine.runs.push_back(finding.run);
  }
  return all;
}

std::vector<Gathered> gather(const std::vector<Finding>& findings) {
  std::vector<Gathered> all = gather(findings, Severity::fail);
  const std::vector<Gathered> cautions = gather(findings, Severity::caution);
  all.insert(all.end(), cautions.begin(), cautions.end());
  return all;
}

std::string where_words(const std::vector<Finding>& findings, const Gathered& gathered) {
  const Finding& finding = findings[gathered.worst];
  std::string text;
  if (!finding.step.empty()) text += fmt::format("step \"{}\"", finding.step);
  if (finding.time_s) text += fmt::format("{}{:.2f} s", text.empty() ? "" : ", at ", *finding.time_s);
  if (!finding.run.empty()) text += fmt::format(", {}", finding.run);
  if (gathered.runs.size() > 1)
    text += fmt::format(" (worst of {} seats)", gathered.runs.size());
  else if (gathered.all.size() > 1)
    text += fmt::format(" (worst of {} moves)", gathered.all.size());
  return text;
}

}  // namespace cellproof
