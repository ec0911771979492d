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

/// Over the whole interval: u runs over [-1, 1].
lanes::Drift motion_in(const Pose& frame_in_world, const RelativeMotion& motion) {
  const Eigen::Matrix3d world_in_frame = frame_in_world.linear().transpose();
  const Vector3d at_origin = motion.velocity + motion.turning.cross(frame_in_world.translation() - motion.about);
  lanes::Drift result;
  put(result.shift, motion.half * (world_in_frame * at_origin));
  put(result.turn, motion.half * (world_in_frame * motion.turning));
  return result;
}

/// The least distance that any pair of triangles is proven to keep.
class KeptQuery {
 public:
  /// The frames are those of the trees. `likely_way` is where boxes are likely told apart, in a's.
  KeptQuery(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, const FramePair& frames,
            const RelativeMotion& motion, double lower, double slack_mm, const Vector3d& likely_way)
      : a_(a),
        b_(b),
        frames_(frames),
        in_a_(motion_in(a_in_world, motion)),
        in_b_(motion_in(b_in_world, motion)),
        stray_(motion.stray_mm),
        slack_(slack_mm),
        lower_(lower),
        local_(sight_along(likely_way, frames)),
        best_sight_(a.tree(), b.tree(), local_, in_a_) {}

  double lower() const { return lower_; }
  double limit() const { return lower_ + stray_; }
  /// Where nothing is kept, nothing else matters.
  double squared_limit() const { return lower_ == 0 ? -std::numeric_limits<double>::infinity() : limit() * limit(); }

  unsigned gaps_of_a(const lanes::Boxes& boxes, const lanes::OneBox& b_in_a, float limit,
                     lanes::FloatRow& squared) const {
    return lanes::squared_gaps_moved_boxes(boxes, b_in_a, best_sight_.sight().in_a, in_a_, limit, squared);
  }
  unsigned gaps_of_b(const lanes::Boxes& boxes, const lanes::OneBox& a_in_b, float limit,
                     lanes::FloatRow& squared) const {
    return lanes::squared_gaps_moved_one(boxes, a_in_b, best_sight_.sight().in_b, in_b_, limit, squared);
  }

  void leaves(std::uint32_t number_a, std::uint32_t number_b) {
    if (best_sight_.apart_moved(a_.tree().leaf_points[number_a], b_.tree().leaf_points[number_b], limit())) return;
    const SearchTree::Leaf &a = a_.tree().leaves[number_a], &b = b_.tree().leaves[number_b];
    unsigned near =
        lanes::nearer_along_moved(a.triangles, b.triangles, best_sight_.sight(), in_a_, limit()) & used_lanes(a);
    if (near != 0) near &= lanes::nearer_along_moved(a.triangles, b.triangles, local_, in_a_, limit());
    while (near != 0) {
      const auto i = static_cast<std::uint32_t>(std::countr_zero(near));
      near &= near - 1;
      local_ = sight_along(triangle_to_leaf(a, i, b), frames_);
      if (near != 0) near &= lanes::nearer_along_moved(a.triangles, b.triangles, local_, in_a_, limit());
    }
  }

 private:
  /// Returns the way from the triangle to the one of the leaf that is least kept away, in a's frame.
  Vector3d triangle_to_leaf(const SearchTree::Leaf& a, std::uint32_t i, const SearchTree::Leaf& b) {
    const lanes::OneTriangle one = placed(triangle_of(a, i), frames_.a_in_b);
    lanes::Gaps found;
    lanes::Row squared;
    lanes::rough_gaps(b.triangles, one, found);
    lanes::squared_gaps_moved(b.triangles, one, found, in_b_, squared);
    if (std::all_of(squared, squared + b.count, [&](double gap) { return gap >= squared_limit(); }))
      return way_of(found, std::min_element(squared, squared + b.count) - squared);
    lanes::gaps(b.triangles, one, found);
    for (std::uint32_t j = 0; j < b.count; ++j)
      if (found.squared[j] == 0) look_closer({a.number[i], b.number[j]}, j, found);
    lanes::squared_gaps_moved(b.triangles, one, found, in_b_, squared);
    if (*std::min_element(squared, squared + b.count) < squared_limit()) try_best_sight(b, one, squared);
    const auto least = std::min_element(squared, squared + b.count) - squared;
    keep_lower(squared[least]);
    return way_of(found, least);
  }

  Vector3d way_of(const lanes::Gaps& found, std::ptrdiff_t lane) const {
    return -(frames_.b_in_a.linear() * Vector3d(found.way[0][lane], found.way[1][lane], found.way[2][lane]));
  }

  /// Beside the nearest triangles of two walls lie others, told apart on a slant by their own nearest points; along the
  /// best answer's direction they are kept as far apart as those.
  void try_best_sight(const SearchTree::Leaf& b, const lanes::OneTriangle& one, lanes::Row& squared) const {
    lanes::Gaps along;
    for (std::size_t lane = 0; lane < lanes::count; ++lane) {
      along.squared[lane] = 1;
      for (std::size_t k = 0; k < 3; ++k) along.way[k][lane] = -best_sight_.sight().in_b[k];
    }
    lanes::Row kept;
    lanes::squared_gaps_moved(b.triangles, one, along, in_b_, kept);
    for (std::uint32_t lane = 0; lane < b.count; ++lane) squared[lane] = std::max(squared[lane], kept[lane]);
  }

  /// Where the lanes can't tell whether triangles cross.
  void look_closer(TrianglePair pair, std::uint32_t lane, lanes::Gaps& found) {
    const TriangleGap gap = triangle_gap(corners_of(a_, pair.a, frames_.a_in_b), corners_of(b_, pair.b),
                                         std::numeric_limits<double>::infinity());
    const Vector3d way = gap.point_a - gap.point_b;
    for (int k = 0; k < 3; ++k) found.way[k][lane] = way[k];
  }

  void keep_lower(double squared) {
    if (!(squared < squared_limit())) return;
    const double kept = std::max(0.0, std::sqrt(squared) - stray_);
    lower_ = kept - std::min(slack_, 0.5 * kept);
  }

  const Solid &a_, &b_;
  const FramePair& frames_;
  lanes::Drift in_a_, in_b_;
  double stray_, slack_;
  double lower_;
  lanes::SharedDirection local_;  ///< along the last triangles' way: neighbours lie much alike
  LeafSight best_sight_;          ///< along the best answer
};

}  // namespace

NearestOver nearest_over(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world,
                         const RelativeMotion& motion, double cap, std::optional<TrianglePair> likely,
                         double slack_mm) {
  if (!motion.velocity.allFinite() || !motion.turning.allFinite() || !motion.about.allFinite() ||
      !std::isfinite(motion.half) || !(motion.stray_mm >= 0))
    throw std::invalid_argument("nearest_over: a motion is not a number");
  NearestOver result;
  result.middle = nearest(a, a_in_world, b, b_in_world, cap, likely, slack_mm);
  result.lower_mm = 0;
  if (result.middle.distance == 0) return result;
  const Pose tree_a = tree_pose(a, a_in_world), tree_b = tree_pose(b, b_in_world);
  const FramePair frames = frame_pair(tree_a, tree_b);
  const double found = result.middle.distance;
  const double at_middle = result.middle.within_cap ? found - std::min(slack_mm, 0.5 * found) : found;
  const Vector3d likely_way = result.middle.within_cap
                                  ? a_in_world.linear().transpose() * (result.middle.point_b - result.middle.point_a)
                                  : between_middles(a, b, frames.b_in_a);
  KeptQuery query(a, tree_a, b, tree_b, frames, motion, at_middle, slack_mm, likely_way);
  descend(a.tree(), b.tree(), frames, query);
  result.lower_mm = query.lower();
  return result;
}

}  // namespace cellproof
