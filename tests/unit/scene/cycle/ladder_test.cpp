// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/ladder.hpp"

#include <optional>
#include <random>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

struct RandomLadder {
  std::vector<std::vector<Rung>> layers;
  std::vector<std::vector<std::vector<Nanoseconds>>> moves;  // by layer, from, to
  std::vector<std::vector<std::vector<int>>> wrong;          // the same
  Nanoseconds move(std::size_t layer, std::size_t from, std::size_t to) const { return moves[layer][from][to]; }
  int faults(std::size_t layer, std::size_t from, std::size_t to) const { return wrong[layer][from][to]; }
};

RandomLadder random_ladder(std::mt19937& random) {
  const auto number = [&](int most) { return std::uniform_int_distribution<int>(0, most)(random); };
  RandomLadder ladder;
  const int layers = number(4);
  std::size_t before = 1;
  for (int l = 0; l < layers; ++l) {
    std::vector<Rung> rungs(static_cast<std::size_t>(1 + number(3)));
    for (Rung& rung : rungs) rung = {number(5) ? 0 : number(2), number(6), number(7) == 0};
    std::vector<std::vector<Nanoseconds>> from(before, std::vector<Nanoseconds>(rungs.size()));
    for (auto& row : from)
      for (auto& time : row) time = number(4) ? number(9) : no_move;
    std::vector<std::vector<int>> wrong(before, std::vector<int>(rungs.size()));
    for (auto& row : wrong)
      for (int& fault : row) fault = number(1) ? 0 : number(2);
    before = rungs.size();
    ladder.wrong.push_back(wrong);
    ladder.layers.push_back(rungs);
    ladder.moves.push_back(from);
  }
  return ladder;
}

/// By trying every climb: its faults in order where they count, then its preferences in order, then its time.
struct Worth {
  std::vector<int> faults, preferences;
  Nanoseconds time = 0;
  auto operator<=>(const Worth&) const = default;
};
void try_all(const RandomLadder& ladder, std::size_t layer, std::size_t from, const Worth& so_far,
             std::optional<Worth>& best, std::size_t& highest, bool with_faults) {
  highest = std::max(highest, layer);
  if (layer == ladder.layers.size()) {
    if (!best || so_far < *best) best = so_far;
    return;
  }
  for (std::size_t to = 0; to < ladder.layers[layer].size(); ++to) {
    const Rung& rung = ladder.layers[layer][to];
    if (rung.blocked || ladder.move(layer, from, to) == no_move) continue;
    Worth worth = so_far;
    if (with_faults) worth.faults.push_back(ladder.faults(layer, from, to));
    worth.preferences.push_back(rung.preference);
    worth.time += ladder.move(layer, from, to) + rung.time;
    try_all(ladder, layer + 1, to, worth, best, highest, with_faults);
  }
}

}  // namespace

TEST_CASE("the best climb is the one that trying them all finds, with faults the one that goes right furthest") {
  std::mt19937 random(20261125);
  int whole = 0, stuck = 0;
  for (int round = 0; round < 3000; ++round) {
    CAPTURE(round);
    const RandomLadder ladder = random_ladder(random);
    std::optional<Worth> best;
    std::size_t highest = 0;
    const bool with_faults = round % 2 == 1;
    try_all(ladder, 0, 0, {}, best, highest, with_faults);
    const MoveTime move = [&](std::size_t layer, std::size_t from, std::size_t to) {
      return ladder.move(layer, from, to);
    };
    const Faults faults = [&](std::size_t layer, std::size_t from, std::size_t to) {
      return ladder.faults(layer, from, to);
    };
    const auto climb = best_climb(ladder.layers, move, with_faults ? faults : Faults{});
    REQUIRE(climb.has_value() == best.has_value());
    if (!climb) {
      ++stuck;
      CHECK(climb.error().layer == highest);
      CHECK(climb.error().below.rungs.size() == highest);
      continue;
    }
    ++whole;
    Worth mine;
    std::size_t from = 0;
    for (std::size_t layer = 0; layer < ladder.layers.size(); ++layer) {
      const std::size_t to = climb->rungs[layer];
      if (with_faults) mine.faults.push_back(ladder.faults(layer, from, to));
      mine.preferences.push_back(ladder.layers[layer][to].preference);
      mine.time += ladder.move(layer, from, to) + ladder.layers[layer][to].time;
      from = to;
    }
    CHECK(mine == *best);
    CHECK(climb->time == best->time);
  }
  CHECK(whole > 300);
  CHECK(stuck > 300);
}

TEST_CASE("of climbs that take equally long the one with the lowest rungs is taken") {
  const std::vector<std::vector<Rung>> layers(3, std::vector<Rung>(4));
  const auto climb = best_climb(layers, [](std::size_t, std::size_t, std::size_t) { return Nanoseconds{5}; });
  REQUIRE(climb);
  CHECK(climb->rungs == std::vector<std::size_t>{0, 0, 0});
  CHECK(climb->time == 15);
}

TEST_CASE("a first preference outweighs any time, a later one too") {
  std::vector<std::vector<Rung>> layers(2, std::vector<Rung>(2));
  layers[0] = {{1, 0, false}, {0, 1000, false}};
  layers[1] = {{0, 500, false}, {1, 0, false}};
  const auto climb = best_climb(layers, [](std::size_t, std::size_t, std::size_t) { return Nanoseconds{1}; });
  REQUIRE(climb);
  CHECK(climb->rungs == std::vector<std::size_t>{1, 0});
}
