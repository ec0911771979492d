// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "scene/cycle/ways_at_seats.hpp"

namespace cellproof {

namespace {

constexpr std::size_t most_seats_named = 4;

/// The seats of a way, each once, the first few by name.
std::string seats_of(const Cycle& cycle, const WayTaken& way) {
  std::vector<std::string> seats;
  for (const std::size_t run : way.runs) {
    const std::string& name = cycle.runs[run].name;
    if (std::find(seats.begin(), seats.end(), name) == seats.end()) seats.push_back(name);
  }
  const std::size_t named = std::min(seats.size(), most_seats_named);
  std::string text =
      fmt::format("'{}'", fmt::join(seats.begin(), seats.begin() + static_cast<std::ptrdiff_t>(named), "', '"));
  if (seats.size() > named) text += fmt::format(" and {} more", seats.size() - named);
  return text;
}

std::string ways_of(const Cycle& cycle, const SplitMove& move) {
  std::string text;
  for (const WayTaken& way : move.ways)
    text += fmt::format("{}{} with {}", text.empty() ? "" : "; ", seats_of(cycle, way), way.configuration);
  return text;
}

/// The other steps that are split, each once.
std::string further_steps(const std::vector<SplitMove>& split) {
  std::vector<std::string> steps;
  for (const SplitMove& move : split)
    if (move.step != split.front().step && std::find(steps.begin(), steps.end(), move.step) == steps.end())
      steps.push_back(move.step);
  return steps.empty() ? "" : fmt::format("; so too in \"{}\"", fmt::join(steps, "\", \""));
}

}  // namespace

std::vector<Finding> check_ways(const Evidence& evidence) {
  const Cycle& cycle = evidence.cycle;
  const auto fails = [](const CycleRun& run) { return run.failure.has_value(); };
  if (cycle.runs.size() < 2 || std::ranges::any_of(cycle.runs, fails)) return {};
  const auto split = ways_at_seats(evidence.scene, cycle);
  if (split.empty()) return {};
  const bool asked = evidence.scene.cell.cycle->same_configuration;
  Finding finding;
  finding.check = Check::sequence;
  finding.severity = asked ? Severity::fail : Severity::caution;
  finding.step = split.front().step;
  finding.message = fmt::format("{}: {}{}",
                                asked ? "the seats are to be reached in one way, and none of the ways tried serves all"
                                      : "seats are reached in different ways",
                                ways_of(cycle, split.front()), further_steps(split));
  finding.mend = asked ? "bring the seats closer together or nearer to the arm, give the grasp more `turns`, or leave "
                         "same_configuration out and teach each way by itself"
                       : "teach and try each way by itself, or ask for one: [cycle] same_configuration = true";
  return {finding};
}

}  // namespace cellproof
