// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/cut_depth.hpp"

#include <algorithm>
#include <cmath>

#include "scene/solids/containment.hpp"
#include "scene/solids/surface_distance.hpp"

namespace cellproof {

namespace {

constexpr double accuracy_mm = 0.01, accuracy_share = 0.05;

/// A stretch of an edge, in the frame of the solid it may lie in.
struct EdgePiece {
  Vector3d from, to;
  bool within = false;  ///< known to be all inside
};

/// What of a piece lies in a box; none if nothing does.
std::optional<EdgePiece> clipped(const EdgePiece& piece, const Box& box) {
  const Vector3d way = piece.to - piece.from;
  double enter = 0, leave = 1;
  for (int k = 0; k < 3; ++k) {
    if (way[k] == 0) {
      if (piece.from[k] < box.low[k] || piece.from[k] > box.high[k]) return std::nullopt;
      continue;
    }
    const double one = (box.low[k] - piece.from[k]) / way[k], other = (box.high[k] - piece.from[k]) / way[k];
    enter = std::max(enter, std::min(one, other));
    leave = std::min(leave, std::max(one, other));
  }
  if (enter > leave) return std::nullopt;
  return EdgePiece{piece.from + enter * way, piece.from + leave * way, false};
}

/// The deepest point of one mesh's edges in a solid.
class DeepestPoint {
 public:
  DeepestPoint(const Solid& solid, double from_mm) : solid_(solid), depth_(from_mm), inner_(solid.box()) {
    // What lies deeper than that lies as deep in the box.
    inner_.low.array() += from_mm;
    inner_.high.array() -= from_mm;
  }

  bool too_thin() const { return (inner_.low.array() > inner_.high.array()).any(); }

  void look_along(const EdgePiece& edge) {
    const auto part = clipped(edge, inner_);
    if (!part) return;
    pieces_.push_back(*part);
    while (!pieces_.empty()) {
      EdgePiece piece = pieces_.back();
      pieces_.pop_back();
      const Vector3d middle = (piece.from + piece.to) / 2;
      if (!may_be_deeper(piece, middle)) continue;
      pieces_.push_back({piece.from, middle, piece.within});
      pieces_.push_back({middle, piece.to, piece.within});
    }
  }

  const std::optional<Vector3d>& point() const { return point_; }
  double depth() const { return depth_; }

 private:
  double accuracy() const { return std::max(accuracy_mm, accuracy_share * depth_); }

  /// Takes the middle into account, and tells whether another point of the piece may be deeper still.
  bool may_be_deeper(EdgePiece& piece, const Vector3d& middle) {
    const double half = (piece.to - piece.from).norm() / 2, worth = depth_ + accuracy();
    double distance = distance_to_surface(solid_, middle, std::min(depth_, worth - half), half + worth);
    if (distance <= std::min(depth_, worth - half)) return false;
    // On the surface both sides are as near.
    const bool inside = piece.within || (distance > 1e-6 && lies_inside(solid_, middle));
    if (!inside) return half - distance > worth;
    if (distance >= half + worth) distance = distance_to_surface(solid_, middle);
    piece.within = piece.within || distance > half;
    if (distance > depth_) {
      depth_ = distance;
      point_ = middle;
    }
    return distance + half > depth_ + accuracy();
  }

  const Solid& solid_;
  double depth_;
  Box inner_;
  std::optional<Vector3d> point_;
  std::vector<EdgePiece> pieces_;
};

/// The deepest point of the edges of `edges` in `solid`, in the solid's frame.
DeepestPoint deepest_in(const Solid& solid, const Solid& edges, const Pose& edges_in_solid, double from_mm) {
  DeepestPoint deepest(solid, from_mm);
  if (!solid.closed().closed || deepest.too_thin()) return deepest;
  std::vector<Vector3d> placed;
  placed.reserve(edges.mesh().vertices.size());
  for (const auto& vertex : edges.mesh().vertices) placed.emplace_back(edges_in_solid * vertex);
  for (const Triangle& triangle : edges.mesh().triangles)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t from = triangle[i], to = triangle[(i + 1) % 3];
      // A closed mesh has every edge once in each direction.
      if (from < to || !edges.closed().closed) deepest.look_along({placed[from], placed[to], false});
    }
  return deepest;
}

}  // namespace

CutDepth cut_depth(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double from_mm) {
  CutDepth result;
  const Pose a_in_b = b_in_world.inverse() * a_in_world;
  const bool apart = nearest(a, a_in_world, b, b_in_world, accuracy_mm).distance > 0;
  if (apart && !holds_shell_of(b, a, a_in_b) && !holds_shell_of(a, b, a_in_b.inverse())) return result;
  const DeepestPoint in_b = deepest_in(b, a, a_in_b, from_mm), in_a = deepest_in(a, b, a_in_b.inverse(), from_mm);
  if (in_b.point()) result = {in_b.depth(), b_in_world * *in_b.point()};
  if (in_a.point() && in_a.depth() > result.depth_mm) result = {in_a.depth(), a_in_world * *in_a.point()};
  return result;
}

}  // namespace cellproof
