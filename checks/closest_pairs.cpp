// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/closest_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "checks/each_stretch.hpp"
#include "checks/figures.hpp"
#include "kinematics/entry.hpp"
#include "scene/basics/parallel.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

constexpr std::size_t most_closest = 10;
constexpr std::size_t least_round = 32;  // places that are asked about at a time
constexpr double infinity = std::numeric_limits<double>::infinity();

/// A pair in a stretch.
struct PairPlace {
  std::size_t run, stretch, pair;
  bool told = false;  ///< asked about already: no answer will be closer
};

template <class OfMeasures>
auto& at(OfMeasures& measures, const PairPlace& place) {
  return measures.runs[place.run][place.stretch].clearance.pairs[place.pair];
}

/// A pair over the whole cycle.
struct CyclePair {
  std::vector<PairPlace> places;
  double over_mm = 1;  ///< pairs vie by their distance over this
  double lower_mm = infinity, upper_mm = infinity;
  double lower() const { return lower_mm / over_mm; }
  double upper() const { return upper_mm / over_mm; }
};

/// What pairs vie by: 0 leaves one out.
using Weight = double (*)(const PairAsked& asked);

double by_distance(const PairAsked&) {
  return 1;
}

double by_rule(const PairAsked& asked) {
  return owes_a_distance(asked) ? asked.least_mm : 0;
}

std::vector<CyclePair> pairs_of_cycle(const Measures& measures, Weight weight) {
  std::vector<CyclePair> all;
  std::map<std::pair<BodyId, BodyId>, std::size_t> known;
  for (std::size_t r = 0; r < measures.runs.size(); ++r)
    for (std::size_t s = 0; s < measures.runs[r].size(); ++s)
      for (std::size_t i = 0; i < measures.runs[r][s].pairs.size(); ++i) {
        const PairAsked& asked = measures.runs[r][s].pairs[i];
        const double over_mm = weight(asked);
        if (over_mm == 0) continue;
        const auto number = known.try_emplace({asked.a, asked.b}, all.size()).first->second;
        if (number == all.size()) all.emplace_back().over_mm = over_mm;
        all[number].places.push_back({r, s, i});
      }
  return all;
}

void bound(CyclePair& pair, const Measures& measures) {
  pair.lower_mm = pair.upper_mm = infinity;
  for (const PairPlace& place : pair.places) {
    pair.lower_mm = std::min(pair.lower_mm, at(measures, place).lower_mm);
    pair.upper_mm = std::min(pair.upper_mm, at(measures, place).upper_mm);
  }
}

/// The upper bound of the last pair that will be listed, over what it vies by.
double last_listed(const std::vector<CyclePair>& pairs) {
  if (pairs.size() <= most_closest) return infinity;
  std::vector<double> uppers;
  for (const CyclePair& pair : pairs) uppers.push_back(pair.upper());
  const auto last = uppers.begin() + most_closest - 1;
  std::ranges::nth_element(uppers, last);
  return *last;
}

/// A lower bound that is enough to say that a distance is enclosed.
double enough(double upper_mm) {
  return std::isfinite(upper_mm) ? upper_mm - known_to(upper_mm) : upper_mm;
}

/// What to ask for so that the answer is enough, or is no nearer than this.
double beyond(double mm) {
  return std::max(mm + known_to(0), mm / 0.98);
}

struct OpenPlace {
  PairPlace* place;
  double lower_mm, of_interest_mm;
};

/// Where a pair that may be listed may be nearer than is known.
std::vector<OpenPlace> open_places(std::vector<CyclePair>& pairs, Measures& measures) {
  for (CyclePair& pair : pairs) bound(pair, measures);
  const double last = last_listed(pairs);
  std::vector<OpenPlace> open;
  for (CyclePair& pair : pairs) {
    const double last_mm = last * pair.over_mm;
    const double needed = std::min(enough(pair.upper_mm), last_mm);
    if (pair.lower_mm >= needed) continue;
    for (PairPlace& place : pair.places) {
      const double lower = at(measures, place).lower_mm;
      if (!place.told && lower < needed) open.push_back({&place, lower, std::min(pair.upper_mm, beyond(last_mm))});
    }
  }
  return open;
}

/// The nearest of the open places: what is found there spares many of the others. The same on any number of threads.
std::vector<OpenPlace> next_round(std::vector<OpenPlace> open) {
  const auto key = [](const OpenPlace& one) {
    return std::tuple(one.lower_mm, one.place->run, one.place->stretch, one.place->pair);
  };
  std::ranges::sort(open, {}, key);
  open.resize(std::min(open.size(), std::max(least_round, open.size() / 4)));
  const auto by_stretch = [](const OpenPlace& one) {
    return std::tuple(one.place->run, one.place->stretch, one.place->pair);
  };
  std::ranges::sort(open, {}, by_stretch);
  return open;
}

/// Both hold.
void take_in(const PairClearance& found, PairClearance& known) {
  const double lower = std::max(known.lower_mm, found.lower_mm);
  if (found.upper_mm < known.upper_mm) known = found;
  known.lower_mm = std::min(lower, known.upper_mm);
}

/// Places of one stretch.
void refine(const Scene& scene, const Cycle& cycle, const Run& run, std::span<const OpenPlace> round,
            Measures& measures) {
  const PairPlace& first = *round.front().place;
  StretchMeasures& mine = measures.runs[first.run][first.stretch];
  std::vector<PairAsked> asked;
  for (const OpenPlace& one : round) {
    asked.push_back(mine.pairs[one.place->pair]);
    asked.back().of_interest_mm = one.of_interest_mm;
  }
  const StretchClearance found =
      measure_each(scene, cycle.runs[first.run].stretches[first.stretch], asked, run.stop, run.results.get());
  for (std::size_t i = 0; i < round.size(); ++i) {
    take_in(found.pairs[i], at(measures, *round[i].place));
    round[i].place->told = true;
  }
  mine.clearance.queries += found.queries;
  settle_closest(mine.clearance);
}

std::vector<std::span<const OpenPlace>> by_stretch(const std::vector<OpenPlace>& round) {
  std::vector<std::span<const OpenPlace>> parts;
  for (std::size_t begin = 0, end = 0; begin < round.size(); begin = end) {
    while (end < round.size() && round[end].place->run == round[begin].place->run &&
           round[end].place->stretch == round[begin].place->stretch)
      ++end;
    parts.push_back(std::span(round).subspan(begin, end - begin));
  }
  return parts;
}

/// Where a pair was found nearest so far, and how near it may be anywhere.
struct ClosestApproach {
  const CycleRun* run = nullptr;
  const Stretch* stretch = nullptr;
  BodyId a, b;
  double share = 0, lower_mm = infinity, upper_mm = infinity;

  void take_in(const CycleRun& its_run, const Stretch& its_stretch, const PairAsked& asked, const PairClearance& pair) {
    lower_mm = std::min(lower_mm, pair.lower_mm);
    if (!(pair.upper_mm < upper_mm)) return;
    *this = {&its_run, &its_stretch, asked.a, asked.b, pair.share, lower_mm, pair.upper_mm};
  }
};

ClosestFigure figure_of(const Scene& scene, const ClosestApproach& nearest) {
  return {{scene.bodies[nearest.a].name, scene.bodies[nearest.b].name},
          nearest.run->name,
          nearest.stretch->step,
          others_told(scene.cell, *nearest.run),
          time_at(*nearest.stretch, nearest.share),
          nearest.lower_mm,
          nearest.upper_mm};
}

/// Encloses the pairs that will be listed.
void enclose(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures, Weight weight) {
  std::vector<CyclePair> pairs = pairs_of_cycle(measures, weight);
  while (!run.stop.stop_requested()) {
    const std::vector<OpenPlace> round = next_round(open_places(pairs, measures));
    if (round.empty()) return;
    const auto parts = by_stretch(round);
    parallel_for(parts.size(), run.threads, run.stop,
                 [&](std::size_t i) { refine(scene, cycle, run, parts[i], measures); });
  }
}

}  // namespace

void tell_closest_pairs(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  enclose(scene, cycle, run, measures, by_distance);
}

void tell_narrowest_pairs(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  enclose(scene, cycle, run, measures, by_rule);
}

std::vector<NarrowPair> narrowest_pairs(const Evidence& evidence) {
  const auto name = [&](BodyId body) { return evidence.scene.bodies[body].name; };
  std::vector<NarrowPair> all;
  for (CyclePair& pair : pairs_of_cycle(evidence.measures, by_rule)) {
    bound(pair, evidence.measures);
    const PairPlace& first = pair.places.front();
    const PairAsked& asked = evidence.measures.runs[first.run][first.stretch].pairs[first.pair];
    if (std::isfinite(pair.upper_mm)) all.push_back({{name(asked.a), name(asked.b)}, pair.lower(), pair.upper()});
  }
  std::ranges::sort(all, {}, [](const NarrowPair& pair) { return std::tie(pair.upper, pair.between); });
  all.resize(std::min(all.size(), most_closest));
  return all;
}

std::vector<ClosestFigure> closest_pairs(const Evidence& evidence) {
  std::map<std::pair<BodyId, BodyId>, ClosestApproach> of_pair;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    for (std::size_t i = 0; i < measures.pairs.size(); ++i) {
      const PairAsked& asked = measures.pairs[i];
      of_pair[{asked.a, asked.b}].take_in(run, stretch, asked, measures.clearance.pairs[i]);
    }
  });
  std::vector<ClosestFigure> all;
  for (const auto& [pair, nearest] : of_pair)
    if (nearest.run) all.push_back(figure_of(evidence.scene, nearest));
  std::ranges::sort(all, {}, [](const ClosestFigure& figure) { return std::tie(figure.upper_mm, figure.between); });
  all.resize(std::min(all.size(), most_closest));
  return all;
}

PairName pair_name(const std::array<std::string, 2>& between) {
  return {std::min(between[0], between[1]), std::max(between[0], between[1])};
}

std::vector<ClosestFigure> gaps_of_pairs(const Proof& proof, const std::vector<PairName>& pairs, const Run& run) {
  const Scene& scene = *proof.scene;
  const auto name_of = [&](const PairAsked& asked) {
    return pair_name({scene.bodies[asked.a].name, scene.bodies[asked.b].name});
  };
  std::vector<ClosestApproach> found(pairs.size());
  for (const CycleRun& cycle_run : proof.cycle->runs)
    for (const Stretch& stretch : cycle_run.stretches)
      for (PairAsked& asked : checked_pairs(scene, stretch)) {
        const auto place = std::ranges::find(pairs, name_of(asked));
        if (place == pairs.end() || run.stop.stop_requested()) continue;
        ClosestApproach& nearest = entry(found, place - pairs.begin());
        asked.of_interest_mm = nearest.upper_mm;
        const StretchClearance gap = measure_each(scene, stretch, {asked}, run.stop, run.results.get());
        nearest.take_in(cycle_run, stretch, asked, gap.pairs.front());
      }
  std::vector<ClosestFigure> all;
  for (const ClosestApproach& nearest : found)
    if (nearest.run) all.push_back(figure_of(scene, nearest));
  return all;
}

}  // namespace cellproof
