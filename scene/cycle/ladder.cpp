// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/ladder.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "kinematics/numbered.hpp"

namespace cellproof {

namespace {

/// The best way to a rung: `rank` numbers the preferences met on it, the lower the better.
struct Reached {
  bool is = false;
  int rank = 0;
  Nanoseconds time = 0;
  std::size_t from = 0;
};

bool better(const Reached& a, const Reached& b) {
  return a.rank != b.rank ? a.rank < b.rank : a.time < b.time;
}

Reached best_way_to(std::size_t layer, std::size_t to, const std::vector<Reached>& before, const MoveTime& move) {
  Reached best;
  for (std::size_t from = 0; from < before.size(); ++from) {
    if (!before[from].is || (best.is && best.rank < before[from].rank)) continue;
    const Nanoseconds time = move(layer, from, to);
    if (time == no_move) continue;
    const Reached way{true, before[from].rank, before[from].time + time, from};
    if (!best.is || better(way, best)) best = way;
  }
  return best;
}

/// Numbers what was preferred up to this layer anew: first what came before, then this layer's own preference.
void rank_anew(std::vector<Reached>& reached, const std::vector<Rung>& rungs) {
  std::map<std::pair<int, std::size_t>, int> ranks;
  for (std::size_t i = 0; i < rungs.size(); ++i)
    if (reached[i].is) ranks[{reached[i].rank, rungs[i].preference}] = 0;
  int next = 0;
  for (auto& entry : ranks) entry.second = next++;
  for (std::size_t i = 0; i < rungs.size(); ++i)
    if (reached[i].is) reached[i].rank = ranks[{reached[i].rank, rungs[i].preference}];
}

Climb climb_of(const std::vector<std::vector<Reached>>& reached) {
  Climb climb;
  if (reached.empty()) return climb;
  const auto best =
      std::min_element(reached.back().begin(), reached.back().end(),
                       [](const Reached& a, const Reached& b) { return a.is != b.is ? a.is : a.is && better(a, b); });
  climb.time = best->time;
  climb.rungs.resize(reached.size());
  std::size_t rung = place_in(reached.back(), best);
  for (std::size_t layer = reached.size(); layer-- > 0;) {
    climb.rungs[layer] = rung;
    rung = reached[layer][rung].from;
  }
  return climb;
}

}  // namespace

Nanoseconds nanoseconds(double seconds) {
  return std::llround(seconds * 1e9);
}

tl::expected<Climb, StuckClimb> best_climb(const std::vector<std::vector<Rung>>& layers, const MoveTime& move) {
  std::vector<std::vector<Reached>> reached;
  std::vector<Reached> before{{true, 0, 0, 0}};
  for (std::size_t layer = 0; layer < layers.size(); ++layer) {
    std::vector<Reached> mine(layers[layer].size());
    for (std::size_t to = 0; to < mine.size(); ++to) {
      if (layers[layer][to].blocked) continue;
      mine[to] = best_way_to(layer, to, before, move);
      mine[to].time += layers[layer][to].time;
    }
    if (std::none_of(mine.begin(), mine.end(), [](const Reached& way) { return way.is; }))
      return tl::unexpected(StuckClimb{layer, climb_of(reached)});
    rank_anew(mine, layers[layer]);
    before = mine;
    reached.push_back(std::move(mine));
  }
  return climb_of(reached);
}

}  // namespace cellproof
