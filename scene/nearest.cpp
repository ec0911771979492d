// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
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

/// What the lanes' distance may be over the exact one's, relative: both are the same formulas.
constexpr double lane_rounding = 1 + 1e-9;

class NearestQuery {
 public:
  NearestQuery(const Solid& a, const Solid& b, const FramePair& frames, double cap)
      : a_(a),
        b_(b),
        frames_(frames),
        squared_limit_(cap > 1e150 ? std::numeric_limits<double>::infinity() : cap * cap) {
    look_along(between_middles(a.box(), b.box(), frames));
  }

  double squared_limit() const { return squared_limit_; }

  void gaps_of_a(const lanes::Boxes& boxes, const lanes::OneBox& b_in_a, lanes::Row& squared) const {
    lanes::squared_gaps(boxes, b_in_a, sight_.in_a, squared);
  }
  void gaps_of_b(const lanes::Boxes& boxes, const lanes::OneBox& a_in_b, lanes::Row& squared) const {
    lanes::squared_gaps(boxes, a_in_b, sight_.in_b, squared);
  }

  void leaves(const SearchTree::Leaf& a, const SearchTree::Leaf& b) {
    // Shadows on one direction tell most pairs of triangles apart.
    lanes::Row a_ends, b_begins;
    lanes::furthest(a.triangles, sight_.in_a, a_ends);
    lanes::nearest(b.triangles, sight_.in_b, b_begins);
    const double b_offset = sight_.b_offset;  // a pair found on the way turns the sight
    for (std::uint32_t i = 0; i < a.count; ++i)
      if (any_nearer(b_begins, b.count, a_ends[i] - b_offset)) triangle_to_leaf(a, i, b);
  }

  /// Keeps the pair's gap if it is the least so far.
  void offer(TrianglePair pair) {
    const TriangleGap gap =
        triangle_gap(corners_of(a_.mesh(), pair.a), corners_of(b_.mesh(), pair.b, frames_.b_in_a), squared_limit_);
    if (!(gap.squared < squared_limit_)) return;
    best_ = gap;
    triangles_ = pair;
    squared_limit_ = gap.squared <= touching * touching ? 0 : gap.squared;
    look_along(gap.point_b - gap.point_a);
  }

  Nearest answer(const Pose& a_in_world, double cap) const {
    Nearest result;
    result.distance = cap;
    if (!triangles_) return result;
    result.within_cap = true;
    result.triangles = triangles_;
    result.distance = std::sqrt(squared_limit_);
    result.point_a = a_in_world * best_.point_a;
    result.point_b = result.distance == 0 ? result.point_a : Vector3d(a_in_world * best_.point_b);
    return result;
  }

 private:
  bool any_nearer(const lanes::Row& b_begins, std::uint32_t count, double a_end) const {
    const double limit = std::sqrt(squared_limit_);
    return std::any_of(b_begins, b_begins + count, [&](double begin) { return begin - a_end < limit; });
  }

  void triangle_to_leaf(const SearchTree::Leaf& a, std::uint32_t i, const SearchTree::Leaf& b) {
    lanes::Gaps found;
    lanes::gaps(b.triangles, placed(triangle_of(a, i), frames_.a_in_b), found);
    std::uint32_t nearest_lane = 0;
    for (std::uint32_t j = 1; j < b.count; ++j)
      if (found.squared[j] < found.squared[nearest_lane]) nearest_lane = j;
    for (std::uint32_t k = 0; k < b.count; ++k) {
      const std::uint32_t j = k == 0 ? nearest_lane : k <= nearest_lane ? k - 1 : k;
      if (found.squared[j] < squared_limit_ * lane_rounding) offer({a.number[i], b.number[j]});
    }
  }

  /// Near the answer boxes are best told apart along the line of the nearest points.
  void look_along(const Vector3d& in_a) { sight_ = sight_along(in_a, frames_); }

  const Solid &a_, &b_;
  const FramePair& frames_;
  double squared_limit_;
  Sight sight_;
  TriangleGap best_;
  std::optional<TrianglePair> triangles_;
};

}  // namespace

Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap,
                std::optional<TrianglePair> likely) {
  if (!a_in_world.matrix().allFinite() || !b_in_world.matrix().allFinite() || std::isnan(cap))
    throw std::invalid_argument("nearest: a pose or the cap is not a number");
  const FramePair frames = frame_pair(a_in_world, b_in_world);
  NearestQuery query(a, b, frames, cap);
  if (likely) query.offer(*likely);
  dive(a.tree(), b.tree(), frames, query);
  dive(a.tree(), b.tree(), frames, query);
  descend(a.tree(), b.tree(), frames, query);
  const Nearest result = query.answer(a_in_world, cap);
  if (std::isinf(result.distance)) throw std::logic_error("nearest: no distance was found between two meshes");
  return result;
}

}  // namespace cellproof
