// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/seat_results.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "viewer/gathered_findings.hpp"

namespace cellproof {

std::vector<SeatResult> seat_results(const Proof& proof) {
  std::vector<SeatResult> seats;
  for (const auto& run : proof.cycle->runs) {
    auto known = std::find_if(seats.begin(), seats.end(), [&](const SeatResult& seat) { return seat.run == run.name; });
    if (known == seats.end())
      known = seats.insert(seats.end(), {run.name, 0, std::numeric_limits<double>::infinity(), 0, ""});
    known->duration_s = std::max(known->duration_s, run.duration_s);
  }
  for (auto& seat : seats) {
    for (const auto& step : proof.report.steps)
      if (step.run == seat.run && step.clearance) seat.gap_mm = std::min(seat.gap_mm, step.clearance->lower_mm);
    for (const auto& finding : proof.report.findings) {
      if (finding.run != seat.run || finding.severity != Severity::fail) continue;
      if (seat.fails++ == 0) seat.first = fmt::format("{} at \"{}\"", name_of(finding.check), finding.step);
    }
  }
  std::stable_sort(seats.begin(), seats.end(), [](const SeatResult& a, const SeatResult& b) {
    return a.fails != b.fails ? a.fails > b.fails : a.gap_mm < b.gap_mm;
  });
  return seats;
}

std::string worst_filling(const Report& report, const std::string& run) {
  std::map<std::string, std::pair<long, double>> by_filling;  // fails, counted down, and the least gap
  for (const auto& step : report.steps) {
    if (step.run != run) continue;
    auto& mine = by_filling.try_emplace(step.others, 0, std::numeric_limits<double>::infinity()).first->second;
    if (step.clearance) mine.second = std::min(mine.second, step.clearance->lower_mm);
  }
  for (const auto& finding : report.findings)
    if (finding.run == run && finding.severity == Severity::fail && by_filling.count(finding.others))
      --by_filling[finding.others].first;
  const auto worst = std::min_element(by_filling.begin(), by_filling.end(),
                                      [](const auto& a, const auto& b) { return a.second < b.second; });
  return worst == by_filling.end() ? "" : worst->first;
}

std::string filling_words(const std::string& others) {
  if (others.empty()) return {};
  return others == "none" ? ", the other seats empty" : fmt::format(", '{}' in the other seats", others);
}

std::string count_words(const Proof& proof, const std::vector<SeatResult>& seats) {
  const auto& findings = proof.report.findings;
  const auto fails = std::ranges::count_if(gather(findings, Severity::fail), [&](const Gathered& group) {
    return !findings[group.all.front()].follows_from;
  });
  std::string text;
  if (fails > 0) text += fmt::format(", {} {} to change", fails, fails == 1 ? "thing" : "things");
  if (seats.size() > 1) {
    const auto passing =
        std::count_if(seats.begin(), seats.end(), [](const SeatResult& seat) { return seat.fails == 0; });
    text += fmt::format(", {} of {} seats pass", passing, seats.size());
  }
  return text;
}

}  // namespace cellproof
