// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey.hpp"

#include <algorithm>

#include "checks/studies/scores.hpp"
#include "checks/studies/search_order.hpp"
#include "scene/basics/parallel.hpp"

namespace cellproof {

namespace {

/// Spots that are proved before any result is looked at: fixed, so that the order of work never depends on threads.
constexpr std::size_t round_size = 64;

/// The verdicts of a round, known ones as they are. Nothing if it was stopped on the way.
std::optional<std::vector<Spot>> judged(const SurveyGrid& grid, const SpotJudge& judge, const KnownSpots& from_before,
                                        const std::vector<std::size_t>& round, const SurveyRun& run) {
  std::vector<Spot> spots;
  for (const std::size_t index : round) spots.push_back({index, {}});
  parallel_for(spots.size(), run.threads, run.stop, [&](std::size_t i) {
    const auto known = from_before.find(spots[i].index);
    spots[i].verdict = known != from_before.end() ? known->second : judge(grid.placements(spots[i].index));
  });
  if (run.stop.stop_requested()) return std::nullopt;
  return spots;
}

/// False if they can't be kept.
bool keep_new(const std::vector<Spot>& spots, const KnownSpots& from_before, const SurveyRun& run) {
  if (!run.keep) return true;
  std::vector<Spot> fresh;
  for (const Spot& spot : spots)
    if (!from_before.contains(spot.index)) fresh.push_back(spot);
  return fresh.empty() || run.keep(fresh);
}

std::size_t planned(const SurveyGrid& grid, const SurveyRun& run) {
  if (run.budget) return std::min(*run.budget, grid.size());
  return grid.size() <= run.slice.part ? 0 : (grid.size() - run.slice.part - 1) / run.slice.parts + 1;
}

std::vector<Spot> in_order(const KnownSpots& known) {
  std::vector<Spot> spots;
  for (const auto& [index, verdict] : known) spots.push_back({index, verdict});
  return with_scores(std::move(spots));
}

/// As far as it is known now, with scores on one scale.
KnownSpots scored(const KnownSpots& known) {
  KnownSpots all;
  for (Spot& spot : in_order(known)) all.emplace(spot.index, std::move(spot.verdict));
  return all;
}

}  // namespace

std::vector<Spot> survey_spots(const SurveyGrid& grid, const SpotJudge& judge, std::vector<Spot> known,
                               const SurveyRun& run) {
  KnownSpots from_before, done;
  for (auto& spot : known) from_before.emplace(spot.index, std::move(spot.verdict));
  const std::size_t total = planned(grid, run);
  std::optional<std::size_t> last;
  while (done.size() < total) {
    const std::size_t most = std::min(round_size, total - done.size());
    const auto round =
        run.budget ? next_refining(grid, scored(done), total, most) : next_in_order(grid, run.slice, last, most);
    if (round.empty()) break;
    const auto spots = judged(grid, judge, from_before, round, run);
    if (!spots || !keep_new(*spots, from_before, run)) break;
    for (const Spot& spot : *spots) done.emplace(spot.index, spot.verdict);
    last = round.back();
    if (run.told) run.told(done.size(), total);
  }
  return in_order(done);
}

std::optional<std::size_t> best_spot(const std::vector<Spot>& spots) {
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < spots.size(); ++i) {
    if (!spots[i].verdict.pass) continue;
    if (!best || spots[i].verdict.score.value_or(0) > spots[*best].verdict.score.value_or(0)) best = i;
  }
  return best;
}

std::vector<std::size_t> best_spots(const std::vector<Spot>& spots) {
  std::vector<std::size_t> all;
  const auto best = best_spot(spots);
  for (std::size_t i = 0; best && i < spots.size(); ++i)
    if (spots[i].verdict.pass && equal_scores(spots[i].verdict, spots[*best].verdict)) all.push_back(i);
  return all;
}

std::vector<std::size_t> pareto_front(const std::vector<Spot>& spots) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < spots.size(); ++i)
    if (spots[i].verdict.pass && spots[i].verdict.cycle_time_s && spots[i].verdict.score) order.push_back(i);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const SpotVerdict &of_a = spots[a].verdict, &of_b = spots[b].verdict;
    if (*of_a.cycle_time_s != *of_b.cycle_time_s) return *of_a.cycle_time_s < *of_b.cycle_time_s;
    return *of_a.score > *of_b.score;
  });
  std::vector<std::size_t> front;
  for (const std::size_t i : order)
    if (front.empty() || *spots[i].verdict.score > *spots[front.back()].verdict.score) front.push_back(i);
  return front;
}

}  // namespace cellproof
