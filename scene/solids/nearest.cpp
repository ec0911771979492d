// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <bit>
#include <cmath>
#include <stdexcept>

#include "scene/solids/box_lanes.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/leaf_sight.hpp"
#include "scene/solids/placed_triangles.hpp"
#include "scene/solids/tree_descent.hpp"
#include "scene/solids/triangle_lanes.hpp"

namespace cellproof {

namespace {

/// Surfaces nearer than this (mm) touch: below it lies the rounding of poses and of coordinates of metres.
constexpr double touching = 1e-9;

/// An answer is bettered only by more than this, relative: neighbours that share the nearest corner are as near.
constexpr double better = 1 - 1e-10;

/// First only what is nearer by a good deal is looked for: with a bad answer in hand a search would look into many
/// boxes that a better one spares it.
constexpr double much_nearer = 0.88;

class NearestQuery {
 public:
  NearestQuery(const Solid& a, const Solid& b, const FramePair& frames, double cap, double slack_mm)
      : a_(a),
        b_(b),
        frames_(frames),
        slack_(slack_mm),
        squared_limit_(cap > 1e150 ? std::numeric_limits<double>::infinity() : cap * cap),
        best_sight_(leaf_sight(between_middles(a, b, frames.b_in_a))),
        local_(best_sight_.sight()) {
    set_limit();
  }

  /// Of answers only those count from now on whose square is below this share of the best one's.
  void ask_for(double share) {
    share_ = share;
    set_limit();
  }
  bool answered() const { return triangles_.has_value(); }

  double squared_limit() const { return asked_; }

  unsigned gaps_of_a(const lanes::Boxes& boxes, const lanes::OneBox& b_in_a, float limit,
                     lanes::FloatRow& squared) const {
    return lanes::squared_gaps(boxes, b_in_a, best_sight_.sight().in_a, limit, squared);
  }
  unsigned gaps_of_b(const lanes::Boxes& boxes, const lanes::OneBox& a_in_b, float limit,
                     lanes::FloatRow& squared) const {
    return lanes::squared_gaps(boxes, a_in_b, best_sight_.sight().in_b, limit, squared);
  }

  void leaves(std::uint32_t number_a, std::uint32_t number_b) {
    if (best_sight_.apart(a_.tree().leaf_points[number_a], b_.tree().leaf_points[number_b], limit_)) return;
    const SearchTree::Leaf &a = a_.tree().leaves[number_a], &b = b_.tree().leaves[number_b];
    unsigned near = lanes::nearer_along(a.triangles, b.triangles, best_sight_.sight(), limit_) & used_lanes(a);
    if (near != 0) near &= lanes::nearer_along(a.triangles, b.triangles, local_, limit_);
    while (near != 0) {
      const auto i = static_cast<std::uint32_t>(std::countr_zero(near));
      near &= near - 1;
      local_ = sight_along(triangle_to_leaf(a, i, b), frames_);
      if (near != 0) near &= lanes::nearer_along(a.triangles, b.triangles, local_, limit_);
    }
  }

  /// Keeps the pair's gap if it is the least so far.
  void offer(TrianglePair pair) {
    const TriangleGap gap = gap_of(pair, squared_limit_);
    if (gap.squared < squared_limit_) keep(pair, gap.squared, gap.point_b - gap.point_a);
  }

  /// `tree_a_in_world`: the frame of a's tree.
  Nearest answer(const Pose& tree_a_in_world, double cap) const {
    Nearest result;
    result.distance = cap;
    if (!triangles_) return result;
    const TriangleGap gap = gap_of(*triangles_, std::numeric_limits<double>::infinity());
    result.within_cap = true;
    result.triangles = triangles_;
    result.distance = distance_of(gap.squared);
    result.point_a = tree_a_in_world * gap.point_a;
    result.point_b = result.distance == 0 ? result.point_a : Vector3d(tree_a_in_world * gap.point_b);
    return result;
  }

 private:
  static double distance_of(double squared) { return squared <= touching * touching ? 0 : std::sqrt(squared); }

  TriangleGap gap_of(TrianglePair pair, double squared_limit) const {
    return triangle_gap(corners_of(a_, pair.a), corners_of(b_, pair.b, frames_.b_in_a), squared_limit);
  }

  /// The way is from a to b, in a's frame.
  void keep(TrianglePair pair, double squared, const Vector3d& way) {
    triangles_ = pair;
    const double distance = distance_of(squared);
    const double limit = distance - std::min(slack_, 0.5 * distance);
    squared_limit_ = slack_ == 0 && distance > 0 ? squared : limit * limit;
    best_sight_ = leaf_sight(way);
    set_limit();
  }

  void set_limit() {
    asked_ = answered() ? share_ * squared_limit_ : squared_limit_;
    limit_ = std::sqrt(asked_);
    if (squared_limit_ == 0)
      asked_ = -std::numeric_limits<double>::infinity();  // where surfaces touch, nothing else matters
  }

  /// Returns the way from the triangle to the nearest of the leaf, in a's frame.
  Vector3d triangle_to_leaf(const SearchTree::Leaf& a, std::uint32_t i, const SearchTree::Leaf& b) {
    const lanes::OneTriangle one = placed(triangle_of(a, i), frames_.a_in_b);
    lanes::Gaps found;
    lanes::rough_gaps(b.triangles, one, found);
    const double limit = squared_limit() * better;
    if (std::all_of(found.squared, found.squared + b.count, [&](double squared) { return squared >= limit; }))
      return way_of(found, std::min_element(found.squared, found.squared + b.count) - found.squared);
    lanes::gaps(b.triangles, one, found);
    for (std::uint32_t j = 0; j < b.count; ++j)  // may cross: only the triangles themselves can tell
      if (found.squared[j] == 0) offer({a.number[i], b.number[j]});
    const auto nearest_lane = nearest_apart(found, b.count);
    if (found.squared[nearest_lane] > 0 && found.squared[nearest_lane] < squared_limit_ * better)
      keep({a.number[i], b.number[nearest_lane]}, found.squared[nearest_lane], way_of(found, nearest_lane));
    return way_of(found, nearest_lane);
  }

  /// The nearest of the lanes that don't cross; any if all may.
  static std::ptrdiff_t nearest_apart(const lanes::Gaps& found, std::uint32_t count) {
    std::ptrdiff_t nearest = 0;
    for (std::uint32_t j = 1; j < count; ++j)
      if (found.squared[j] > 0 && (found.squared[nearest] == 0 || found.squared[j] < found.squared[nearest]))
        nearest = j;
    return nearest;
  }

  Vector3d way_of(const lanes::Gaps& found, std::ptrdiff_t lane) const {
    return -(frames_.b_in_a.linear() * Vector3d(found.way[0][lane], found.way[1][lane], found.way[2][lane]));
  }

  /// Near the answer boxes are best told apart along the line of the nearest points.
  LeafSight leaf_sight(const Vector3d& in_a) const {
    return {a_.tree(), b_.tree(), sight_along(in_a, frames_), lanes::Drift{}};
  }

  const Solid &a_, &b_;
  const FramePair& frames_;
  double slack_;
  double squared_limit_;  ///< of the best answer, or of the cap
  double share_ = 1;
  double asked_ = 0, limit_ = 0;           ///< squared, and not
  LeafSight best_sight_;                   ///< along the best answer
  lanes::SharedDirection local_;           ///< along the last triangles' way: neighbours lie much alike
  std::optional<TrianglePair> triangles_;  ///< of the best answer
};

}  // namespace

Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap,
                std::optional<TrianglePair> likely, double slack_mm) {
  if (!a_in_world.matrix().allFinite() || !b_in_world.matrix().allFinite() || std::isnan(cap))
    throw std::invalid_argument("nearest: a pose or the cap is not a number");
  const Pose tree_a = tree_pose(a, a_in_world);
  const FramePair frames = frame_pair(tree_a, tree_pose(b, b_in_world));
  NearestQuery query(a, b, frames, cap, slack_mm);
  if (likely) query.offer(*likely);
  query.ask_for(much_nearer);
  descend(a.tree(), b.tree(), frames, query);
  query.ask_for(1);
  if (query.answered()) descend(a.tree(), b.tree(), frames, query);
  const Nearest result = query.answer(tree_a, cap);
  if (std::isinf(result.distance)) throw std::logic_error("nearest: no distance was found between two meshes");
  return result;
}

}  // namespace cellproof
