// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/shared_ways.hpp"

#include "scene/basics/parallel.hpp"

namespace cellproof {

namespace {

CycleChoice chosen_with(const ChoiceRequest& request, const AskedWays& ways) {
  ChoiceRequest asked = request;
  asked.ways = ways;
  return choose_for_cycle(asked);
}

/// Bars what stopped a run that was to stand as `taken` says. False if nothing new is learned.
bool bar(const CycleChoice& stopped, const std::vector<std::string>& taken, AskedWays& ways) {
  if (!stopped.stuck_layer || *stopped.stuck_layer >= taken.size()) return false;
  const std::size_t layer = *stopped.stuck_layer;
  if (stopped.stuck_in_itself || layer == 0) return ways.barred.insert({layer, taken[layer]}).second;
  return ways.barred_moves.insert({layer, taken[layer - 1], taken[layer]}).second;
}

}  // namespace

std::optional<std::vector<CycleChoice>> choose_alike(const std::vector<ChoiceRequest>& requests, int threads) {
  AskedWays barred;
  for (;;) {
    std::vector<CycleChoice> choices(requests.size());
    choices.front() = chosen_with(requests.front(), barred);
    if (!choices.front().whole) return std::nullopt;
    AskedWays taken;
    taken.taken = choices.front().configurations;
    parallel_for(requests.size() - 1, threads, requests.front().stop,
                 [&](std::size_t i) { choices[i + 1] = chosen_with(requests[i + 1], taken); });
    if (requests.front().stop.stop_requested()) return std::nullopt;
    bool all = true, learned = false;
    for (const CycleChoice& choice : choices) {
      all = all && choice.whole;
      if (!choice.whole) learned = bar(choice, taken.taken, barred) || learned;
    }
    if (all) return choices;
    if (!learned) return std::nullopt;
  }
}

}  // namespace cellproof
