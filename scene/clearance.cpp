// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <queue>

#include "scene/carried_motion.hpp"
#include "scene/distance.hpp"

namespace cellproof {

namespace {

constexpr double undecided_mm = 0.001;   // a pair this near to its rule is not refined further
constexpr double float_guard_mm = 1e-6;  // rounding in poses and search trees at cell size
constexpr long most_queries = 400000;    // for one pair: then it stays undecided, and fails

/// A piece of the path with distances at both ends; a distance beyond what was asked counts as that much.
struct Piece {
  double from, to, distance_from, distance_to, lower;
};
struct HigherLower {
  bool operator()(const Piece& a, const Piece& b) const { return a.lower > b.lower; }
};

/// What the meshes and the chain may be off by: taken off the lower bound, added to the upper.
struct Slack {
  double lower = 0, upper = 0;
};

/// One pair over one stretch.
class PairRefiner {
 public:
  PairRefiner(const Scene& scene, const Stretch& stretch, CarriedMotion& motion, const PairAsked& asked)
      : motion_(motion),
        asked_(asked),
        a_(scene.bodies[static_cast<std::size_t>(asked.a)]),
        b_(scene.bodies[static_cast<std::size_t>(asked.b)]),
        mover_a_(motion.mover_of(asked.a)),
        mover_b_(motion.mover_of(asked.b)) {
    const Deviation& da = a_.solid->mesh().deviation;
    const Deviation& db = b_.solid->mesh().deviation;
    const double stray = motion.stands_still(mover_a_, mover_b_) ? 0 : stretch.motion.path.stray_mm();
    slack_.lower = stray + da.outside + db.outside + float_guard_mm;
    slack_.upper = stray + da.inside + db.inside;
    still_ = motion.stands_still(mover_a_, mover_b_);
  }

  /// A cheap lower bound over the whole of the asked spans: boxes in the middle less all that can happen.
  double first_guess() {
    double least = std::numeric_limits<double>::infinity();
    for (const auto& span : asked_.spans) {
      const double middle = 0.5 * (span.from + span.to);
      const double travel = still_ ? 0 : motion_.relative_travel(mover_a_, mover_b_, span.from, span.to);
      // From the middle no point travels more than all of the travel.
      least = std::min(least, box_distance_at(middle) - travel);
    }
    return std::max(0.0, least - slack_.lower);
  }

  /// Refines until the pair is told from its rule and can't lower `closest_upper` unnoticed. See the header.
  PairClearance refine(double closest_upper) {
    begin(closest_upper);
    while (!pieces_.empty() && !settled(closest_upper)) {
      const Piece piece = pieces_.top();
      pieces_.pop();
      const double middle = 0.5 * (piece.from + piece.to);
      if (queries_ > most_queries || middle <= piece.from || middle >= piece.to) {
        stuck_ = std::min(stuck_, piece.lower);
        continue;
      }
      const double distance = distance_at(middle, closest_upper, travel(piece.from, piece.to));
      add(piece.from, middle, piece.distance_from, distance);
      add(middle, piece.to, distance, piece.distance_to);
    }
    answer_.lower_mm = std::max(0.0, lowest() - slack_.lower);
    if (answer_.upper_mm == 0)
      answer_.lower_mm = 0;
    else
      answer_.upper_mm += slack_.upper;
    return answer_;
  }

  long queries() const { return queries_; }

 private:
  double travel(double from, double to) {
    return still_ || from == to ? 0 : motion_.relative_travel(mover_a_, mover_b_, from, to);
  }

  double box_distance_at(double share) {
    return box_distance(*a_.solid, motion_.pose(mover_a_, share), *b_.solid, motion_.pose(mover_b_, share));
  }

  /// Distances beyond this can neither fail the rule nor be the stretch's least.
  double of_interest(double closest_upper) const {
    return std::max(asked_.least_mm + undecided_mm, std::min(closest_upper, answer_.upper_mm)) + slack_.lower;
  }

  double distance_at(double share, double closest_upper, double span_travel) {
    const double cap = of_interest(closest_upper) + span_travel;
    const double boxes = box_distance_at(share);
    if (boxes >= cap) return boxes;
    ++queries_;
    const Nearest found =
        nearest(*a_.solid, motion_.pose(mover_a_, share), *b_.solid, motion_.pose(mover_b_, share), cap);
    if (found.within_cap && found.distance < answer_.upper_mm) {
      answer_.upper_mm = found.distance;
      answer_.share = share;
      answer_.points = {found.point_a, found.point_b};
    }
    return found.distance;
  }

  void add(double from, double to, double distance_from, double distance_to) {
    const double lower = 0.5 * (distance_from + distance_to - travel(from, to));
    pieces_.push({from, to, distance_from, distance_to, std::max(0.0, lower)});
  }

  void begin(double closest_upper) {
    for (const auto& span : asked_.spans) {
      if (answer_.upper_mm == 0) return;
      const double all = travel(span.from, span.to);
      const double first = distance_at(span.from, closest_upper, all);
      if (first > 0 && contains_part_of(*a_.solid, motion_.pose(mover_a_, span.from), *b_.solid,
                                        motion_.pose(mover_b_, span.from))) {
        answer_.upper_mm = 0;
        answer_.share = span.from;
        const Vector3d inside = motion_.pose(mover_a_, span.from) * a_.solid->shell_points().front();
        answer_.points = {inside, inside};
        return;
      }
      if (still_) {
        pieces_.push({span.from, span.from, first, first, first});
        stuck_ = std::min(stuck_, first);
        continue;
      }
      add(span.from, span.to, first, distance_at(span.to, closest_upper, all));
    }
    if (still_) pieces_ = {};
  }

  double lowest() const { return std::min(stuck_, pieces_.empty() ? stuck_ : pieces_.top().lower); }

  /// 0.1 mm or 2 %, less what the slack eats of it.
  double tolerance(double upper) const {
    return std::max(0.01, std::max(0.1, 0.02 * upper) - slack_.lower - slack_.upper);
  }

  bool settled(double closest_upper) const {
    const double upper = answer_.upper_mm, lower = lowest();
    if (upper == 0) return true;
    const bool passes = lower - slack_.lower >= asked_.least_mm;
    const bool fails = upper - slack_.lower < asked_.least_mm;  // no refining can lift the lower bound over the rule
    if (!passes && !fails && !(upper - lower <= undecided_mm)) return false;
    if (fails && upper - lower > tolerance(upper)) return false;
    const double least = std::min(closest_upper, upper);
    return lower >= least - tolerance(least);
  }

  CarriedMotion& motion_;
  const PairAsked& asked_;
  const SceneBody &a_, &b_;
  Mover mover_a_, mover_b_;
  Slack slack_;
  bool still_ = false;
  std::priority_queue<Piece, std::vector<Piece>, HigherLower> pieces_;
  double stuck_ = std::numeric_limits<double>::infinity();
  PairClearance answer_;
  long queries_ = 0;
};

}  // namespace

StretchClearance measure_clearance(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked) {
  StretchClearance result;
  result.pairs.resize(asked.size());
  CarriedMotion motion(scene, stretch);
  std::vector<PairRefiner> refiners;
  refiners.reserve(asked.size());
  std::vector<double> guess;
  for (const auto& pair : asked) {
    refiners.emplace_back(scene, stretch, motion, pair);
    guess.push_back(refiners.back().first_guess());
  }
  std::vector<std::size_t> order(asked.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return guess[i] < guess[j]; });

  double closest_upper = std::numeric_limits<double>::infinity();
  for (const std::size_t i : order) {
    PairClearance& pair = result.pairs[i];
    if (guess[i] >= std::max(asked[i].least_mm, closest_upper)) {
      pair.lower_mm = guess[i];
      continue;
    }
    pair = refiners[i].refine(closest_upper);
    result.queries += refiners[i].queries();
    if (pair.upper_mm < closest_upper) {
      closest_upper = pair.upper_mm;
      result.closest = static_cast<int>(i);
    }
  }
  if (asked.empty()) return result;
  result.upper_mm = closest_upper;
  result.lower_mm = closest_upper;
  for (const auto& pair : result.pairs) result.lower_mm = std::min(result.lower_mm, pair.lower_mm);
  return result;
}

}  // namespace cellproof
