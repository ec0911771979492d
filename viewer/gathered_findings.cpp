// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gathered_findings.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace cellproof {

namespace {

/// The other pairs of the group, at most three.
std::string other_pairs(const Finding& worst, const Gathered& gathered) {
  constexpr std::size_t most_named = 3;
  std::string text;
  std::size_t named = 0;
  for (const auto& pair : gathered.pairs) {
    if (pair == worst.between || pair.size() != 2) continue;
    if (named++ < most_named) text += fmt::format("{}{} / {}", text.empty() ? "; also " : ", ", pair[0], pair[1]);
  }
  if (named > most_named) text += fmt::format(" and {} more", named - most_named);
  return text;
}

}  // namespace

std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity) {
  std::vector<Gathered> all;
  std::map<FindingCause, std::size_t> known;
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const Finding& finding = findings[i];
    if (finding.severity != severity) continue;
    const auto [entry, is_new] = known.emplace(cause(finding), all.size());
    if (is_new) all.push_back({i, {}, {}, {}});
    Gathered& mine = all[entry->second];
    mine.all.push_back(i);
    if (is_worse(finding, findings[mine.worst])) mine.worst = i;
    if (std::ranges::find(mine.pairs, finding.between) == mine.pairs.end()) mine.pairs.push_back(finding.between);
    if (!finding.run.empty() && std::find(mine.runs.begin(), mine.runs.end(), finding.run) == mine.runs.end())
      mine.runs.push_back(finding.run);
  }
  std::ranges::stable_partition(all, [&](const Gathered& group) { return !findings[group.all.front()].follows_from; });
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
  return text + other_pairs(finding, gathered);
}

std::string root_words(const std::vector<Finding>& findings, const std::vector<Gathered>& groups, std::size_t group) {
  const auto root_of = [&](const Gathered& one) { return findings[one.all.front()].follows_from; };
  if (const auto root = root_of(groups[group])) {
    for (std::size_t i = 0; i < groups.size(); ++i)
      if (std::ranges::count(groups[i].all, *root) > 0)
        return fmt::format("goes with {}: what mends that clears this too", i + 1);
    return {};
  }
  std::string cleared;
  for (std::size_t i = 0; i < groups.size(); ++i)
    if (const auto root = root_of(groups[i]); root && std::ranges::count(groups[group].all, *root) > 0)
      cleared += fmt::format("{}{}", cleared.empty() ? "" : ", ", i + 1);
  return cleared.empty() ? "" : "this also clears " + cleared;
}

}  // namespace cellproof
