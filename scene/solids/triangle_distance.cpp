// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/triangle_distance.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

/// A triangle with its normal and how the other triangle's corners stand over its plane.
struct TriangleFace {
  const Corners& corners;
  Vector3d normal;                  ///< not normalised
  double normal_squared = 0;        ///< 0 for a sliver, whose edges say everything
  std::array<double, 3> heights{};  ///< of the other's corners, times the normal's length
  bool apart = false;               ///< the other lies strictly on one side
};

TriangleFace face_of(const Corners& corners, const Corners& other) {
  const Vector3d ab = corners[1] - corners[0], ac = corners[2] - corners[0];
  TriangleFace face{corners, ab.cross(ac)};
  const double longest = std::max(ab.squaredNorm(), ac.squaredNorm());
  const double squared = face.normal.squaredNorm();
  if (squared <= 1e-22 * longest * longest) return face;
  face.normal_squared = squared;
  for (std::size_t i = 0; i < 3; ++i) face.heights[i] = face.normal.dot(other[i] - corners[0]);
  const auto [low, high] = std::minmax({face.heights[0], face.heights[1], face.heights[2]});
  face.apart = low > 0 || high < 0;
  return face;
}

/// Squared distance that the plane alone proves.
double squared_by_plane(const TriangleFace& face) {
  if (!face.apart) return 0;
  const double least = std::min({std::abs(face.heights[0]), std::abs(face.heights[1]), std::abs(face.heights[2])});
  return least * least / face.normal_squared;
}

bool over_face(const TriangleFace& face, const Vector3d& point) {
  for (std::size_t i = 0; i < 3; ++i) {
    const Vector3d edge = face.corners[(i + 1) % 3] - face.corners[i];
    if (edge.cross(point - face.corners[i]).dot(face.normal) < 0) return false;
  }
  return true;
}

void keep_nearer(TriangleGap& best, const Vector3d& a, const Vector3d& b) {
  const double squared = (a - b).squaredNorm();
  if (squared < best.squared) best = {squared, a, b};
}

/// Nearest points of segments p + s u and q + t v, s and t in [0, 1] (C. Ericson, "Real-Time Collision
/// Detection", 5.1.9). For parallel ones any s serves, as t and then s are found anew from it.
void edge_to_edge(const Vector3d& p, const Vector3d& u, const Vector3d& q, const Vector3d& v, TriangleGap& best) {
  const Vector3d r = p - q;
  const double uu = u.squaredNorm(), vv = v.squaredNorm(), uv = u.dot(v), ur = u.dot(r), vr = v.dot(r);
  const double denominator = uu * vv - uv * uv;
  double s = denominator > 0 ? std::clamp((uv * vr - ur * vv) / denominator, 0.0, 1.0) : 0.0;
  const double t = vv > 0 ? std::clamp((uv * s + vr) / vv, 0.0, 1.0) : 0.0;
  s = uu > 0 ? std::clamp((uv * t - ur) / uu, 0.0, 1.0) : 0.0;
  const Vector3d on_a = p + s * u, on_b = q + t * v;
  keep_nearer(best, on_a, on_b);
}

void edges_to_edges(const Corners& a, const Corners& b, TriangleGap& best) {
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) edge_to_edge(a[i], a[(i + 1) % 3] - a[i], b[j], b[(j + 1) % 3] - b[j], best);
}

/// Corners of the other triangle against the inside of the face; `face_is_a` says which point is whose.
void corners_to_face(const TriangleFace& face, const Corners& other, bool face_is_a, TriangleGap& best) {
  if (face.normal_squared == 0) return;
  for (std::size_t i = 0; i < 3; ++i) {
    const double squared = face.heights[i] * face.heights[i] / face.normal_squared;
    if (squared >= best.squared || !over_face(face, other[i])) continue;
    const Vector3d foot = other[i] - face.heights[i] / face.normal_squared * face.normal;
    if (face_is_a)
      keep_nearer(best, foot, other[i]);
    else
      keep_nearer(best, other[i], foot);
  }
}

/// An edge of the other triangle that goes through the face.
bool edge_through(const TriangleFace& face, const Corners& other, TriangleGap& best) {
  if (face.normal_squared == 0) return false;
  for (std::size_t i = 0; i < 3; ++i) {
    const double from = face.heights[i], to = face.heights[(i + 1) % 3];
    if ((from > 0) == (to > 0)) continue;
    const Vector3d point = other[i] + from / (from - to) * (other[(i + 1) % 3] - other[i]);
    if (!over_face(face, point)) continue;
    best = {0, point, point};
    return true;
  }
  return false;
}

}  // namespace

TriangleGap triangle_gap(const Corners& a, const Corners& b, double squared_limit) {
  TriangleGap best;
  best.squared = squared_limit;
  const TriangleFace face_a = face_of(a, b), face_b = face_of(b, a);
  if (std::max(squared_by_plane(face_a), squared_by_plane(face_b)) >= squared_limit) return {};
  const bool may_cross = !face_a.apart && !face_b.apart;
  if (may_cross && (edge_through(face_a, b, best) || edge_through(face_b, a, best))) return best;
  corners_to_face(face_a, b, true, best);
  corners_to_face(face_b, a, false, best);
  edges_to_edges(a, b, best);
  return best.squared < squared_limit ? best : TriangleGap{};
}

}  // namespace cellproof
