// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/search_order.hpp"

#include <algorithm>

namespace cellproof {

namespace {

/// Neighbours of so many of the best are looked at before the distance is halved.
constexpr std::size_t followed = 16;

std::size_t coarse_count(const SurveyGrid& grid, std::size_t stride) {
  std::size_t count = 1;
  for (const std::size_t values : grid.counts()) count *= (values - 1) / stride + 1;
  return count;
}

std::size_t first_stride(const SurveyGrid& grid, std::size_t budget) {
  std::size_t stride = 1;
  while (coarse_count(grid, stride) > std::max<std::size_t>(1, budget / 2)) stride *= 2;
  return stride;
}

bool on_lattice(const std::vector<std::size_t>& places, std::size_t stride) {
  return std::all_of(places.begin(), places.end(), [&](std::size_t place) { return place % stride == 0; });
}

void add_coarse(const SurveyGrid& grid, const KnownSpots& known, std::size_t stride, std::size_t most,
                std::vector<std::size_t>& round) {
  for (std::size_t i = 0; i < grid.size() && round.size() < most; ++i)
    if (on_lattice(grid.places_of(i), stride) && !known.contains(i)) round.push_back(i);
}

/// Best first: passing, then by score, then by index.
std::vector<std::size_t> ranked(const KnownSpots& known) {
  std::vector<std::size_t> order;
  for (const auto& [index, verdict] : known) order.push_back(index);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const SpotVerdict &of_a = known.at(a), &of_b = known.at(b);
    if (of_a.pass != of_b.pass) return of_a.pass;
    return of_a.score.value_or(0) > of_b.score.value_or(0);
  });
  return order;
}

void add_neighbours(const SurveyGrid& grid, const KnownSpots& known, std::size_t of, std::size_t stride,
                    std::size_t most, std::vector<std::size_t>& round) {
  const auto counts = grid.counts();
  const auto here = grid.places_of(of);
  for (std::size_t axis = 0; axis < counts.size(); ++axis)
    for (const bool up : {false, true}) {
      auto there = here;
      if (up ? here[axis] + stride >= counts[axis] : here[axis] < stride) continue;
      there[axis] = up ? here[axis] + stride : here[axis] - stride;
      const std::size_t index = grid.index_of(there);
      if (round.size() < most && !known.contains(index) && std::find(round.begin(), round.end(), index) == round.end())
        round.push_back(index);
    }
}

}  // namespace

std::vector<std::size_t> next_in_order(const SurveyGrid& grid, const Slice& slice, std::optional<std::size_t> after,
                                       std::size_t most) {
  std::vector<std::size_t> round;
  for (std::size_t i = after ? *after + slice.parts : slice.part; i < grid.size() && round.size() < most;
       i += slice.parts)
    round.push_back(i);
  return round;
}

std::vector<std::size_t> next_refining(const SurveyGrid& grid, const KnownSpots& known, std::size_t budget,
                                       std::size_t most) {
  std::vector<std::size_t> round;
  std::size_t stride = first_stride(grid, budget);
  add_coarse(grid, known, stride, most, round);
  const auto order = ranked(known);
  while (round.empty() && stride > 0) {
    const std::size_t looked_at = stride == 1 ? order.size() : std::min(order.size(), followed);
    for (std::size_t i = 0; i < looked_at && round.size() < most; ++i)
      add_neighbours(grid, known, order[i], stride, most, round);
    stride /= 2;
  }
  return round;
}

}  // namespace cellproof
