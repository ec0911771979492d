// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <bit>
#include <cmath>
#include <stdexcept>

#include "scene/box_lanes.hpp"
#include "scene/distance.hpp"
#include "scene/placed_triangles.hpp"
#include "scene/tree_descent.hpp"
#include "scene/triangle_lanes.hpp"

namespace cellproof {

namespace {

/// Surfaces nearer than this (mm) touch: below it lies the rounding of poses and of coordinates of metres.
constexpr double touching = 1e-9;

/// An answer is bettered only by more than this, relative: neighbours that share the nearest corner are as near.
constexpr double better = 1 - 1e-10;

class NearestQuery {
 public:
  NearestQuery(const Solid& a, const Solid& b, const FramePair& frames, double cap, double slack_mm)
      : a_(a),
        b_(b),
        frames_(frames),
        slack_(slack_mm),
        squared_limit_(cap > 1e150 ? std::numeric_limits<double>::infinity() : cap * cap) {
    look_along(between_middles(a.box(), b.box(), frames));
    local_ = sight_;
  }

  /// Where surfaces touch, nothing else matters.
  double squared_limit() const {
    return squared_limit_ == 0 ? -std::numeric_limits<double>::infinity() : squared_limit_;
  }
  double limit() const { return std::sqrt(squared_limit_); }

  void gaps_of_a(const lanes::Boxes& boxes, const lanes::OneBox& b_in_a, lanes::FloatRow& squared) const {
    lanes::squared_gaps(boxes, b_in_a, sight_.in_a, squared);
  }
  void gaps_of_b(const lanes::Boxes& boxes, const lanes::OneBox& a_in_b, lanes::FloatRow& squared) const {
    lanes::squared_gaps(boxes, a_in_b, sight_.in_b, squared);
  }

  void leaves(const SearchTree::Leaf& a, const SearchTree::Leaf& b) {
    unsigned near = lanes::nearer_along(a.triangles, b.triangles, sight_, limit()) & used_lanes(a);
    if (near != 0) near &= lanes::nearer_along(a.triangles, b.triangles, local_, limit());
    while (near != 0) {
      const auto i = static_cast<std::uint32_t>(std::countr_zero(near));
      near &= near - 1;
      local_ = sight_along(triangle_to_leaf(a, i, b), frames_);
      if (near != 0) near &= lanes::nearer_along(a.triangles, b.triangles, local_, limit());
    }
  }

  /// Keeps the pair's gap if it is the least so far.
  void offer(TrianglePair pair) {
    const TriangleGap gap =
        triangle_gap(corners_of(a_.mesh(), pair.a), corners_of(b_.mesh(), pair.b, frames_.b_in_a), squared_limit_);
    if (!(gap.squared < squared_limit_)) return;
    best_ = gap;
    triangles_ = pair;
    const double distance = gap.squared <= touching * touching ? 0 : std::sqrt(gap.squared);
    const double limit = distance - std::min(slack_, 0.5 * distance);
    best_distance_ = distance;
    squared_limit_ = slack_ == 0 && distance > 0 ? gap.squared : limit * limit;
    look_along(gap.point_b - gap.point_a);
  }

  Nearest answer(const Pose& a_in_world, double cap) const {
    Nearest result;
    result.distance = cap;
    if (!triangles_) return result;
    result.within_cap = true;
    result.triangles = triangles_;
    result.distance = best_distance_;
    result.point_a = a_in_world * best_.point_a;
    result.point_b = result.distance == 0 ? result.point_a : Vector3d(a_in_world * best_.point_b);
    return result;
  }

 private:
  /// Returns the way from the triangle to the nearest of the leaf, in a's frame.
  Vector3d triangle_to_leaf(const SearchTree::Leaf& a, std::uint32_t i, const SearchTree::Leaf& b) {
    const lanes::OneTriangle one = placed(triangle_of(a, i), frames_.a_in_b);
    lanes::Gaps found;
    lanes::rough_gaps(b.triangles, one, found);
    const double limit = squared_limit_ * better;
    if (std::all_of(found.squared, found.squared + b.count, [&](double squared) { return squared >= limit; }))
      return way_of(found, std::min_element(found.squared, found.squared + b.count) - found.squared);
    lanes::gaps(b.triangles, one, found);
    const auto nearest_lane = std::min_element(found.squared, found.squared + b.count) - found.squared;
    if (found.squared[nearest_lane] < squared_limit_ * better) offer({a.number[i], b.number[nearest_lane]});
    for (std::uint32_t j = 0; j < b.count; ++j)
      if (found.squared[j] < squared_limit_ * better) offer({a.number[i], b.number[j]});
    return way_of(found, nearest_lane);
  }

  Vector3d way_of(const lanes::Gaps& found, std::ptrdiff_t lane) const {
    return -(frames_.b_in_a.linear() * Vector3d(found.way[0][lane], found.way[1][lane], found.way[2][lane]));
  }

  /// Near the answer boxes are best told apart along the line of the nearest points.
  void look_along(const Vector3d& in_a) { sight_ = sight_along(in_a, frames_); }

  const Solid &a_, &b_;
  const FramePair& frames_;
  double slack_;
  double squared_limit_;
  double best_distance_ = std::numeric_limits<double>::quiet_NaN();
  lanes::Sight sight_;  ///< along the best answer
  lanes::Sight local_;  ///< along the last triangles' way: neighbours lie much alike
  TriangleGap best_;
  std::optional<TrianglePair> triangles_;
};

}  // namespace

Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap,
                std::optional<TrianglePair> likely, double slack_mm) {
  if (!a_in_world.matrix().allFinite() || !b_in_world.matrix().allFinite() || std::isnan(cap))
    throw std::invalid_argument("nearest: a pose or the cap is not a number");
  const FramePair frames = frame_pair(a_in_world, b_in_world);
  NearestQuery query(a, b, frames, cap, slack_mm);
  if (likely) query.offer(*likely);
  dive(a.tree(), b.tree(), frames, query);
  dive(a.tree(), b.tree(), frames, query);
  descend(a.tree(), b.tree(), frames, query);
  const Nearest result = query.answer(a_in_world, cap);
  if (std::isinf(result.distance)) throw std::logic_error("nearest: no distance was found between two meshes");
  return result;
}

}  // namespace cellproof
