// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "checks/checks.hpp"

namespace cellproof {

namespace {

constexpr std::size_t most_told = 8;

/// Choices that fail in the same step for the same reason are told together.
struct Told {
  std::string first_choice, step, reason;
  std::size_t count = 0;
};

std::vector<Told> told_together(const std::vector<BlockedChoice>& blocked) {
  std::vector<Told> all;
  for (const auto& choice : blocked) {
    const auto same = std::find_if(all.begin(), all.end(), [&](const Told& told) {
      return told.step == choice.step && told.reason == choice.reason;
    });
    if (same == all.end())
      all.push_back({choice.choice, choice.step, choice.reason, 1});
    else
      ++same->count;
  }
  return all;
}

std::string text_of(const std::vector<Told>& all) {
  std::string text;
  for (std::size_t i = 0; i < std::min(all.size(), most_told); ++i) {
    const Told& told = all[i];
    text += fmt::format("{}{}{}: {}{}", i ? " | " : "", told.first_choice,
                        told.count > 1 ? fmt::format(" and {} more", told.count - 1) : "",
                        told.step.empty() ? "" : fmt::format("step \"{}\": ", told.step), told.reason);
  }
  if (all.size() > most_told) text += fmt::format(" | and {} other reasons", all.size() - most_told);
  return text;
}

}  // namespace

std::vector<Finding> check_choices(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const auto& run : evidence.cycle.runs) {
    if (run.blocked.empty()) continue;
    if (run.blocked.size() == 1) continue;  // there was no choice, and what fails has said why
    Finding finding;
    finding.check = "reach";
    finding.severity = Severity::caution;
    finding.run = run.name;
    finding.others = run.others;
    finding.step = run.blocked.front().step;
    if (run.failure) finding.time_s = run.failure->time_s;
    finding.message = fmt::format("no other joint solution or grasp turn passes, {} tried: {}", run.blocked.size(),
                                  text_of(told_together(run.blocked)));
    finding.mend = "mend what blocks the choice that suits best";
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace cellproof
