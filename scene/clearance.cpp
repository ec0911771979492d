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
constexpr double long_way = 2;           // over distances of interest: a longer piece is halved before it is searched
constexpr long most_queries = 400000;    // for one pair: then it stays undecided, and fails

/// A piece of the path and a lower bound of the distance all along it.
struct Piece {
  double from, to, lower;
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
  PairRefiner(const Scene& scene, const CarriedMotion& motion, const PairAsked& asked)
      : motion_(motion),
        asked_(asked),
        a_(*scene.bodies[static_cast<std::size_t>(asked.a)].solid),
        b_(*scene.bodies[static_cast<std::size_t>(asked.b)].solid),
        mover_a_(motion.mover_of(asked.a)),
        mover_b_(motion.mover_of(asked.b)),
        still_(motion.stands_still(mover_a_, mover_b_)) {
    const Deviation &da = a_.mesh().deviation, &db = b_.mesh().deviation;
    const double stray = motion.chain_stray(mover_a_, mover_b_);
    slack_.lower = stray + da.outside + db.outside + float_guard_mm;
    slack_.upper = stray + da.inside + db.inside;
  }

  bool still() const { return still_; }

  /// A cheap lower bound over all asked spans: boxes in the middle less all that can happen.
  double first_guess() const {
    double least = std::numeric_limits<double>::infinity();
    for (const auto& span : asked_.spans)
      least = std::min(least, box_distance_at(0.5 * (span.from + span.to)) - travel(span.from, span.to));
    return std::max(0.0, least - slack_.lower);
  }

  /// Measures the ends of the spans, beyond `closest_upper` only as far as the rule asks. What it finds bounds the
  /// answer from above.
  double look_at_ends(double closest_upper) {
    for (const auto& span : asked_.spans) {
      measure(span.from, closest_upper);
      if (answer_.upper_mm > 0 && inside(span.from)) touch(span.from);
      if (!still_) measure(span.to, closest_upper);
    }
    return answer_.upper_mm + slack_.upper;
  }

  /// Refines until the pair is told from its rule and can't lower `closest_upper` unnoticed. See the header.
  PairClearance refine(double closest_upper, const std::stop_token& stop) {
    for (const auto& span : asked_.spans) add(span.from, span.to, closest_upper);
    while (!pieces_.empty() && !settled(closest_upper) && !stop.stop_requested()) {
      const Piece piece = pieces_.top();
      pieces_.pop();
      const double middle = 0.5 * (piece.from + piece.to);
      if (still_ || queries_ > most_queries || middle <= piece.from || middle >= piece.to) {
        stuck_ = std::min(stuck_, piece.lower);
        continue;
      }
      add(piece.from, middle, closest_upper);
      add(middle, piece.to, closest_upper);
    }
    answer_.lower_mm = answer_.upper_mm == 0 ? 0 : std::max(0.0, lowest() - slack_.lower);
    if (answer_.upper_mm > 0) answer_.upper_mm += slack_.upper;
    return answer_;
  }

  long queries() const { return queries_; }

 private:
  double travel(double from, double to) const {
    return still_ ? 0 : motion_.relative_travel(mover_a_, mover_b_, from, to);
  }

  double box_distance_at(double share) const {
    return box_distance(a_, motion_.pose(mover_a_, share), b_, motion_.pose(mover_b_, share));
  }

  bool inside(double share) const {
    return contains_part_of(a_, motion_.pose(mover_a_, share), b_, motion_.pose(mover_b_, share));
  }

  /// Distances beyond this can neither fail the rule nor be the stretch's least.
  double of_interest(double closest_upper) const {
    return std::max(asked_.least_mm + undecided_mm, std::min(closest_upper, answer_.upper_mm)) + slack_.lower +
           undecided_mm;
  }

  /// What a search may leave undone: a small part of what is still open.
  double search_slack() const {
    return std::isfinite(answer_.upper_mm) ? std::clamp(0.1 * (answer_.upper_mm - lowest()), 1e-4, 0.02) : 0.02;
  }

  void touch(double share) {
    answer_.upper_mm = 0;
    answer_.share = share;
    answer_.points.fill(motion_.pose(mover_a_, share) * a_.shell_points().front());
  }

  /// The last answer's triangles, turned about where b is asked first: they make the next search shorter.
  std::optional<TrianglePair> likely(bool a_first) const {
    if (!likely_ || a_first) return likely_;
    return TrianglePair{likely_->b, likely_->a};
  }

  void found(const Nearest& nearest, double share, bool a_first) {
    if (nearest.triangles)
      likely_ = a_first ? *nearest.triangles : TrianglePair{nearest.triangles->b, nearest.triangles->a};
    if (!nearest.within_cap || nearest.distance >= answer_.upper_mm) return;
    answer_.upper_mm = nearest.distance;
    answer_.share = share;
    answer_.points = {nearest.point_a, nearest.point_b};
    if (!a_first) std::swap(answer_.points[0], answer_.points[1]);
  }

  void measure(double share, double closest_upper) {
    ++queries_;
    found(nearest(a_, motion_.pose(mover_a_, share), b_, motion_.pose(mover_b_, share), of_interest(closest_upper),
                  likely(true), search_slack()),
          share, true);
  }

  /// Bounds the distance all along a piece.
  void add(double from, double to, double closest_upper) {
    const double middle = 0.5 * (from + to), cap = of_interest(closest_upper);
    const double way = travel(from, to), boxes = box_distance_at(middle) - way;
    if (boxes >= cap) return pieces_.push({from, to, boxes});
    if (way > long_way * cap) return pieces_.push({from, to, std::max(0.0, boxes)});
    ++queries_;
    const Pose pose_a = motion_.pose(mover_a_, middle), pose_b = motion_.pose(mover_b_, middle);
    if (still_) {
      const Nearest now = nearest(a_, pose_a, b_, pose_b, cap, likely(true), search_slack());
      found(now, middle, true);
      return pieces_.push({from, to, now.distance});
    }
    const auto against = motion_.motion_against(mover_a_, mover_b_, from, to);
    const NearestOver over =
        against.a_is_outer ? nearest_over(a_, pose_a, b_, pose_b, against.motion, cap, likely(true), search_slack())
                           : nearest_over(b_, pose_b, a_, pose_a, against.motion, cap, likely(false), search_slack());
    found(over.middle, middle, against.a_is_outer);
    pieces_.push({from, to, over.lower_mm});
  }

  double lowest() const { return std::min(stuck_, pieces_.empty() ? stuck_ : pieces_.top().lower); }

  /// 0.1 mm or 2 %, less what the slack eats of it.
  double tolerance(double upper) const {
    return std::max(0.01, std::max(0.1, 0.0195 * upper) - slack_.lower - slack_.upper);  // 2 % of the truth below it
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

  const CarriedMotion& motion_;
  const PairAsked& asked_;
  const Solid &a_, &b_;
  Mover mover_a_, mover_b_;
  bool still_ = false;
  Slack slack_;
  std::priority_queue<Piece, std::vector<Piece>, HigherLower> pieces_;
  double stuck_ = std::numeric_limits<double>::infinity();
  PairClearance answer_;
  std::optional<TrianglePair> likely_;
  long queries_ = 0;
};

}  // namespace

StretchClearance measure_clearance(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked,
                                   const std::stop_token& stop, double of_interest_mm) {
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
  double closest_upper = of_interest_mm;
  const auto matters = [&](std::size_t i) { return guess[i] <= std::max(asked[i].least_mm, closest_upper); };
  for (const std::size_t i : order)
    if (matters(i) && !stop.stop_requested())
      closest_upper = std::min(closest_upper, refiners[i].look_at_ends(closest_upper));

  for (const std::size_t i : order) {
    PairClearance& pair = result.pairs[i];
    if (!matters(i)) {
      pair.lower_mm = guess[i];
      continue;
    }
    pair = refiners[i].refine(closest_upper, stop);
    result.queries += refiners[i].queries();
    closest_upper = std::min(closest_upper, pair.upper_mm);
  }
  result.lower_mm = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < asked.size(); ++i) {
    result.lower_mm = std::min(result.lower_mm, result.pairs[i].lower_mm);
    if (result.closest < 0 ||
        result.pairs[i].upper_mm < result.pairs[static_cast<std::size_t>(result.closest)].upper_mm)
      result.closest = static_cast<int>(i);
  }
  result.upper_mm = result.pairs[static_cast<std::size_t>(result.closest)].upper_mm;
  return result;
}

}  // namespace cellproof
