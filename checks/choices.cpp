// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "checks/checks.hpp"

namespace cellproof {

namespace {

constexpr std::size_t most_told = 3;

/// Choices that fail in the same step for the same reason, numbers aside, are told together.
struct AlikeChoices {
  const BlockedChoice* first = nullptr;
  std::size_t count = 0;
};

std::string without_numbers(std::string text) {
  const auto of_a_number = [](char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-'; };
  text.erase(std::remove_if(text.begin(), text.end(), of_a_number), text.end());
  return text;
}

/// Those that came furthest first.
std::vector<AlikeChoices> told_together(const std::vector<BlockedChoice>& blocked) {
  std::map<std::pair<std::string, std::string>, std::size_t> known;
  std::vector<AlikeChoices> all;
  for (const auto& choice : blocked) {
    const auto [entry, is_new] = known.emplace(std::pair(choice.step, without_numbers(choice.reason)), all.size());
    if (is_new) all.push_back({&choice, 0});
    ++all[entry->second].count;
  }
  std::stable_sort(all.begin(), all.end(), [](const AlikeChoices& a, const AlikeChoices& b) {
    return a.first->step_index > b.first->step_index;
  });
  return all;
}

std::string text_of(const std::vector<AlikeChoices>& all) {
  std::string text;
  for (std::size_t i = 0; i < std::min(all.size(), most_told); ++i) {
    const BlockedChoice& choice = *all[i].first;
    text += fmt::format("{}{}{}{}: {}", i ? "; " : "", choice.choice,
                        all[i].count > 1 ? fmt::format(" and {} more like it", all[i].count - 1) : "",
                        choice.step.empty() ? "" : fmt::format(" at \"{}\"", choice.step), choice.reason);
  }
  if (all.size() > most_told) text += fmt::format("; others fail earlier, for {} more reasons", all.size() - most_told);
  return text;
}

}  // namespace

std::vector<Finding> check_choices(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const auto& run : evidence.cycle.runs) {
    if (run.blocked.size() < 2) continue;  // there was no choice, and what fails has said why
    Finding finding;
    finding.check = Check::reach;
    finding.severity = Severity::caution;
    finding.run = run.name;
    finding.others = run.others;
    finding.step = told_together(run.blocked).front().first->step;
    if (run.failure) finding.time_s = run.failure->time_s;
    finding.message = fmt::format("no joint solution or grasp turn passes, {} tried; furthest came {}",
                                  run.blocked.size(), text_of(told_together(run.blocked)));
    finding.mend = "mend what stops the one that suits best";
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace cellproof
