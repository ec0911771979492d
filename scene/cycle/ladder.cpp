// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/ladder.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

namespace cellproof {

namespace {

/// The best way to a rung: `faulty` numbers the faults met on it, `rank` the preferences, the lower the better.
struct Reached {
  bool is = false;
  int faulty = 0, fault = 0, rank = 0;  ///< fault: of this layer, not numbered yet
  Nanoseconds time = 0;
  std::size_t from = 0;
};

bool better(const Reached& a, const Reached& b) {
  return std::tie(a.faulty, a.fault, a.rank, a.time) < std::tie(b.faulty, b.fault, b.rank, b.time);
}

/// What is asked about a move.
struct Moves {
  const MoveTime& time;
  const Faults& faults;  ///< may be empty
};

Reached best_way_to(std::size_t layer, std::size_t to, const std::vector<Reached>& before, const Moves& moves) {
  Reached best;
  for (std::size_t from = 0; from < before.size(); ++from) {
    const Reached& below = before[from];
    const bool worse = moves.faults ? best.faulty < below.faulty : best.rank < below.rank;
    if (!below.is || (best.is && worse)) continue;
    const Nanoseconds time = moves.time(layer, from, to);
    if (time == no_move) continue;
    const int fault = moves.faults ? moves.faults(layer, from, to) : 0;
    const Reached way{true, below.faulty, fault, below.rank, below.time + time, from};
    if (!best.is || better(way, best)) best = way;
  }
  return best;
}

/// Numbers what a layer added to what was numbered before: first by what came before, then by the layer's own.
template <class Before, class Own>
void number_anew(std::vector<Reached>& reached, const Before& before, const Own& own) {
  std::map<std::pair<int, int>, int> numbers;
  for (std::size_t i = 0; i < reached.size(); ++i)
    if (reached[i].is) numbers[{before(reached[i]), own(i)}] = 0;
  int next = 0;
  for (auto& entry : numbers) entry.second = next++;
  for (std::size_t i = 0; i < reached.size(); ++i)
    if (reached[i].is) before(reached[i]) = numbers[{before(reached[i]), own(i)}];
}

void rank_anew(std::vector<Reached>& reached, const std::vector<Rung>& rungs) {
  number_anew(
      reached, [](Reached& way) -> int& { return way.faulty; }, [&](std::size_t i) { return reached[i].fault; });
  number_anew(
      reached, [](Reached& way) -> int& { return way.rank; }, [&](std::size_t i) { return rungs[i].preference; });
  for (Reached& way : reached) way.fault = 0;
}

Climb climb_of(const std::vector<std::vector<Reached>>& reached) {
  Climb climb;
  if (reached.empty()) return climb;
  const auto best =
      std::min_element(reached.back().begin(), reached.back().end(),
                       [](const Reached& a, const Reached& b) { return a.is != b.is ? a.is : a.is && better(a, b); });
  climb.time = best->time;
  climb.rungs.resize(reached.size());
  auto rung = static_cast<std::size_t>(best - reached.back().begin());
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

tl::expected<Climb, StuckClimb> best_climb(const std::vector<std::vector<Rung>>& layers, const MoveTime& move,
                                           const Faults& faults) {
  const Moves moves{move, faults};
  std::vector<std::vector<Reached>> reached;
  std::vector<Reached> before{{true, 0, 0, 0, 0, 0}};
  for (std::size_t layer = 0; layer < layers.size(); ++layer) {
    std::vector<Reached> mine(layers[layer].size());
    for (std::size_t to = 0; to < mine.size(); ++to) {
      if (layers[layer][to].blocked) continue;
      mine[to] = best_way_to(layer, to, before, moves);
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
