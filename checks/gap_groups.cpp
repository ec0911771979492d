// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/gap_groups.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "scene/basics/parallel.hpp"

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr int most_rounds = 4;  // of pairs that turn out to be steady, each round one more of every stretch

using PairOfBodies = std::pair<BodyId, BodyId>;
using Which = std::function<bool(const PairAsked&)>;

bool is_carried(const Scene& scene, const Stretch& stretch, BodyId body) {
  const SceneBody& mine = scene.bodies[body];
  return mine.kind == BodyKind::arm || mine.kind == BodyKind::end_effector ||
         (stretch.held_part && mine.owner_part == stretch.held_part && !mine.copy_of_seat);
}

/// The least gap of the pairs that are asked for: as it was measured with all pairs where that tells, else by itself.
std::optional<LeastGap> least_of(const Scene& scene, const Stretch& stretch, const Run& run,
                                 const StretchMeasures& measures, const Which& which) {
  std::vector<PairAsked> asked;
  for (const PairAsked& pair : measures.pairs)
    if (which(pair)) asked.push_back(pair);
  if (asked.empty()) return std::nullopt;
  const auto told = [](const PairAsked& pair, const StretchClearance& all, const PairClearance& found) {
    return LeastGap{pair.a, pair.b, all.lower_mm, found};
  };
  const auto closest = measures.clearance.closest;
  if (closest && which(measures.pairs[*closest]))
    return told(measures.pairs[*closest], measures.clearance, measures.clearance.pairs[*closest]);
  const StretchClearance alone = measure_clearance(scene, stretch, asked, run.stop, run.results.get());
  if (!alone.closest) return std::nullopt;
  return told(asked[*alone.closest], alone, alone.pairs[*alone.closest]);
}

/// Calls look(stretch, its measures) for every stretch, on all cores.
template <class Look>
void for_each(const Cycle& cycle, const Run& run, Measures& measures, const Look& look) {
  std::vector<std::pair<const Stretch*, StretchMeasures*>> all;
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s)
      all.emplace_back(&cycle.runs[r].stretches[s], &measures.runs[r][s]);
  parallel_for(all.size(), run.threads, run.stop, [&](std::size_t i) { look(*all[i].first, *all[i].second); });
}

/// A pair over the whole cycle, its distance at the ends of stretches with it.
SteadyPair over_the_cycle(const Scene& scene, const Cycle& cycle, const Run& run, const Measures& measures,
                          PairOfBodies bodies) {
  SteadyPair pair{bodies.first, bodies.second, infinity, 0, 0};
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s)
      for (const PairAsked& asked : measures.runs[r][s].pairs) {
        if (PairOfBodies(asked.a, asked.b) != bodies) continue;
        pair.least_mm = asked.least_mm;
        const Stretch& stretch = cycle.runs[r].stretches[s];
        PairAsked at_end = asked;
        at_end.spans = {{1, 1}};
        const auto ends = measure_each(scene, stretch, {at_end}, run.stop, run.results.get());
        pair.upper_mm = std::max(pair.upper_mm, ends.pairs.front().upper_mm);
        const auto all = measure_each(scene, stretch, {asked}, run.stop, run.results.get());
        pair.lower_mm = std::min(pair.lower_mm, all.pairs.front().lower_mm);
        if (pair.upper_mm > pair.lower_mm + std::max(0.5, 0.05 * pair.lower_mm)) return pair;  // it is not steady
      }
  return pair;
}

bool hardly_changes(const SteadyPair& pair) {
  return pair.upper_mm <= pair.lower_mm + std::max(0.5, 0.05 * pair.lower_mm);
}

/// The pairs that are nearest in some stretch and were not asked about before.
std::set<PairOfBodies> nearest_own(const Measures& measures, const std::set<PairOfBodies>& known) {
  std::set<PairOfBodies> pairs;
  for (const auto& run : measures.runs)
    for (const StretchMeasures& mine : run)
      if (mine.among_own && !known.contains({mine.among_own->a, mine.among_own->b}))
        pairs.insert({mine.among_own->a, mine.among_own->b});
  return pairs;
}

}  // namespace

bool both_carried(const Scene& scene, const Stretch& stretch, BodyId a, BodyId b) {
  return is_carried(scene, stretch, a) && is_carried(scene, stretch, b);
}

void tell_gap_groups(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  std::set<PairOfBodies> steady, known;
  const auto own = [&](const Stretch& stretch) -> Which {
    return [&](const PairAsked& pair) {
      return both_carried(scene, stretch, pair.a, pair.b) && !steady.contains({pair.a, pair.b});
    };
  };
  for_each(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
    mine.to_surroundings = least_of(scene, stretch, run, mine, [&](const PairAsked& pair) {
      return !both_carried(scene, stretch, pair.a, pair.b);
    });
    mine.among_own = least_of(scene, stretch, run, mine, own(stretch));
  });
  for (int round = 0; round < most_rounds && !run.stop.stop_requested(); ++round) {
    const auto fresh = nearest_own(measures, known);
    const std::size_t before = steady.size();
    for (const PairOfBodies& bodies : fresh) {
      known.insert(bodies);
      const SteadyPair pair = over_the_cycle(scene, cycle, run, measures, bodies);
      if (!hardly_changes(pair)) continue;
      steady.insert(bodies);
      measures.steady.push_back(pair);
    }
    if (steady.size() == before) break;
    for_each(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
      if (mine.among_own && steady.contains({mine.among_own->a, mine.among_own->b}))
        mine.among_own = least_of(scene, stretch, run, mine, own(stretch));
    });
  }
  std::ranges::stable_sort(measures.steady, {}, &SteadyPair::lower_mm);
}

}  // namespace cellproof
