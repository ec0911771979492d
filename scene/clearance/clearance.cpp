// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/clearance.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <queue>

#include "scene/clearance/carried_motion.hpp"
#include "scene/clearance/pair_motion.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

constexpr double undecided_mm = 0.001;  // a pair this near to its rule is not refined further
constexpr double long_way = 2;          // over distances of interest: a longer piece is halved before it is searched
constexpr long most_queries = 400000;   // for one pair: then it stays undecided, and fails

/// A piece of the path and a lower bound of the distance all along it.
struct BoundedSpan {
  double from, to, lower;
};
struct HigherLower {
  bool operator()(const BoundedSpan& a, const BoundedSpan& b) const { return a.lower > b.lower; }
};

/// The least distance that other pairs were found to have, rounded up to a step of 4 %: pairs whose others change a
/// little are asked the same, and have the same answer.
double in_steps(double closest_upper) {
  constexpr double steps = 16;  // to twice as much
  if (!std::isfinite(closest_upper)) return closest_upper;
  return std::exp2(std::ceil(steps * std::log2(std::max(closest_upper, undecided_mm))) / steps);
}

/// One pair over one stretch; points are in the pair's own frame.
class PairRefiner {
 public:
  PairRefiner(const Scene& scene, const CarriedMotion& motion, const PairAsked& asked)
      : motion_(scene, motion, asked.a, asked.b), asked_(asked), slack_(motion_.slack()) {}

  /// A cheap lower bound over all asked spans: boxes in the middle less all that can happen.
  double first_guess() const {
    double least = std::numeric_limits<double>::infinity();
    for (const auto& span : asked_.spans)
      least =
          std::min(least, motion_.box_distance_at(0.5 * (span.from + span.to)) - motion_.travel(span.from, span.to));
    return std::max(0.0, least - slack_.lower);
  }

  /// Measures the ends of the spans, beyond `closest_upper` only as far as the rule asks. What it finds bounds the
  /// answer from above.
  double look_at_ends(double closest_upper, PairResults* results) {
    closest_at_ends_ = in_steps(closest_upper);
    kept_or_found(results, Task::ends, [&] {
      for (const auto& span : asked_.spans) {
        measure(span.from, closest_at_ends_);
        if (found_.clearance.upper_mm > 0 && motion_.inside(span.from)) touch(span.from);
        if (!motion_.still()) measure(span.to, closest_at_ends_);
      }
    });
    return found_.clearance.upper_mm + slack_.upper;
  }

  /// Refines until the pair is told from its rule and can't lower `closest_upper` unnoticed. See the header.
  PairClearance refine(double closest_upper, const std::stop_token& stop, PairResults* results) {
    closest_ = in_steps(closest_upper);
    kept_or_found(results, Task::all, [&] { search(stop); });
    PairClearance answer = found_.clearance;
    if (!std::isnan(answer.share))
      for (auto& point : answer.points) point = motion_.in_world(point, answer.share);
    return answer;
  }

  long queries() const { return found_.queries - spared_; }

 private:
  enum class Task : std::uint64_t { ends = 1, all };

  ContentKey key_of(Task task) const {
    KeyWriter writer;
    writer.add(static_cast<std::uint64_t>(task));
    writer.add(*motion_.key());
    writer.add(asked_.least_mm);
    for (const auto& span : asked_.spans) {
      writer.add(span.from);
      writer.add(span.to);
    }
    writer.add(closest_at_ends_);
    writer.add(closest_);
    return writer.key();
  }

  /// Takes the answer from what is kept, or does the work and keeps it, unless that was stopped.
  template <class Work>
  void kept_or_found(PairResults* results, Task task, const Work& work) {
    if (!results || !motion_.key()) return work();
    const ContentKey key = key_of(task);
    if (const auto kept = results->clearances.find(key)) {
      spared_ += kept->queries - found_.queries;
      found_ = *kept;
      return;
    }
    work();
    if (!cut_short_) results->clearances.keep(key, found_);
  }

  void search(const std::stop_token& stop) {
    for (const auto& span : asked_.spans) add(span.from, span.to);
    while (!pieces_.empty() && !settled() && !stop.stop_requested()) {
      const BoundedSpan piece = pieces_.top();
      pieces_.pop();
      const double middle = 0.5 * (piece.from + piece.to);
      if (motion_.still() || found_.queries > most_queries || middle <= piece.from || middle >= piece.to) {
        stuck_ = std::min(stuck_, piece.lower);
        continue;
      }
      add(piece.from, middle);
      add(middle, piece.to);
    }
    cut_short_ = stop.stop_requested();
    PairClearance& answer = found_.clearance;
    answer.lower_mm = answer.upper_mm == 0 ? 0 : std::max(0.0, lowest() - slack_.lower);
    if (answer.upper_mm > 0) answer.upper_mm += slack_.upper;
  }

  /// Distances beyond this can neither fail the rule nor be the stretch's least.
  double of_interest(double closest_upper) const {
    return std::max(asked_.least_mm + undecided_mm, std::min(closest_upper, found_.clearance.upper_mm)) + slack_.lower +
           undecided_mm;
  }

  /// What a search may leave undone: a small part of what is still open.
  double search_slack() const {
    const double upper = found_.clearance.upper_mm;
    return std::isfinite(upper) ? std::clamp(0.1 * (upper - lowest()), 1e-4, 0.02) : 0.02;
  }

  void touch(double share) {
    found_.clearance.upper_mm = 0;
    found_.clearance.share = share;
    found_.clearance.points.fill(motion_.pose_a(share) * motion_.a().shell_points().front());
  }

  void take(const Nearest& nearest, double share) {
    if (nearest.triangles) found_.likely = nearest.triangles;
    if (!nearest.within_cap || nearest.distance >= found_.clearance.upper_mm) return;
    found_.clearance.upper_mm = nearest.distance;
    found_.clearance.share = share;
    found_.clearance.points = {nearest.point_a, nearest.point_b};
  }

  void measure(double share, double closest_upper) {
    ++found_.queries;
    take(motion_.at(share, of_interest(closest_upper), found_.likely, search_slack()), share);
  }

  /// Bounds the distance all along a piece.
  void add(double from, double to) {
    const double middle = 0.5 * (from + to), cap = of_interest(closest_);
    const double way = motion_.travel(from, to), boxes = motion_.box_distance_at(middle) - way;
    if (boxes >= cap) return pieces_.push({from, to, boxes});
    if (way > long_way * cap) return pieces_.push({from, to, std::max(0.0, boxes)});
    ++found_.queries;
    const NearestOver over = motion_.over(from, to, cap, found_.likely, search_slack());
    take(over.middle, middle);
    pieces_.push({from, to, over.lower_mm});
  }

  double lowest() const { return std::min(stuck_, pieces_.empty() ? stuck_ : pieces_.top().lower); }

  /// 0.1 mm or 2 %, less what the slack eats of it.
  double tolerance(double upper) const {
    return std::max(0.01, std::max(0.1, 0.0195 * upper) - slack_.lower - slack_.upper);  // 2 % of the truth below it
  }

  bool settled() const {
    const double upper = found_.clearance.upper_mm, lower = lowest();
    if (upper == 0) return true;
    const bool passes = lower - slack_.lower >= asked_.least_mm;
    const bool fails = upper - slack_.lower < asked_.least_mm;  // no refining can lift the lower bound over the rule
    if (!passes && !fails && !(upper - lower <= undecided_mm)) return false;
    if (fails && upper - lower > tolerance(upper)) return false;
    const double least = std::min(closest_, upper);
    return lower >= least - tolerance(least);
  }

  PairMotion motion_;
  const PairAsked& asked_;
  PairMotion::Slack slack_;
  std::priority_queue<BoundedSpan, std::vector<BoundedSpan>, HigherLower> pieces_;
  double stuck_ = std::numeric_limits<double>::infinity();
  double closest_at_ends_ = std::numeric_limits<double>::quiet_NaN(), closest_ = closest_at_ends_;
  PairFound found_;
  long spared_ = 0;  ///< queries, by kept answers
  bool cut_short_ = false;
};

}  // namespace

StretchClearance measure_clearance(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked,
                                   const std::stop_token& stop, PairResults* results) {
  StretchClearance result;
  result.pairs.resize(asked.size());
  if (asked.empty()) return result;
  const CarriedMotion motion(scene, stretch);
  std::vector<PairRefiner> refiners;
  refiners.reserve(asked.size());
  std::vector<double> guess;
  for (const auto& pair : asked) {
    refiners.emplace_back(scene, motion, pair);
    guess.push_back(refiners.back().first_guess());
  }
  std::vector<std::size_t> order(asked.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return guess[i] < guess[j]; });

  // The ends first: what is found there spares refining all that stays further apart.
  double closest_upper = std::numeric_limits<double>::infinity();  // over what each vies by
  const auto closest_for = [&](std::size_t i) {
    return std::min(closest_upper * asked[i].over_mm, asked[i].of_interest_mm);
  };
  const auto vie = [&](std::size_t i, double upper_mm) {
    if (asked[i].of_interest_mm > 0) closest_upper = std::min(closest_upper, upper_mm / asked[i].over_mm);
  };
  const auto matters = [&](std::size_t i) { return guess[i] <= std::max(asked[i].least_mm, closest_for(i)); };
  for (const std::size_t i : order)
    if (matters(i) && !stop.stop_requested()) vie(i, refiners[i].look_at_ends(closest_for(i), results));

  for (const std::size_t i : order) {
    PairClearance& pair = result.pairs[i];
    if (!matters(i)) {
      pair.lower_mm = guess[i];
      continue;
    }
    pair = refiners[i].refine(closest_for(i), stop, results);
    result.queries += refiners[i].queries();
    vie(i, pair.upper_mm);
  }
  settle_closest(result);
  return result;
}

StretchClearance measure_each(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked,
                              const std::stop_token& stop, PairResults* results) {
  StretchClearance result;
  const CarriedMotion motion(scene, stretch);
  for (const auto& pair : asked) {
    PairRefiner refiner(scene, motion, pair);
    PairClearance& answer = result.pairs.emplace_back();
    answer.lower_mm = refiner.first_guess();
    if (stop.stop_requested() || answer.lower_mm > std::max(pair.least_mm, pair.of_interest_mm)) continue;
    refiner.look_at_ends(pair.of_interest_mm, results);
    answer = refiner.refine(pair.of_interest_mm, stop, results);
    result.queries += refiner.queries();
  }
  settle_closest(result);
  return result;
}

void settle_closest(StretchClearance& clearance) {
  const auto& pairs = clearance.pairs;
  if (pairs.empty()) return;
  const auto closest = std::ranges::min_element(pairs, {}, &PairClearance::upper_mm);
  clearance.closest = static_cast<std::size_t>(closest - pairs.begin());
  clearance.upper_mm = closest->upper_mm;
  clearance.lower_mm = std::ranges::min_element(pairs, {}, &PairClearance::lower_mm)->lower_mm;
}

double known_to(double distance_mm) {
  return std::max(0.1, 0.02 * distance_mm);
}

}  // namespace cellproof
