// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/facing_faces.hpp"

#include <algorithm>
#include <cmath>

#include "scene/forces/convex_pieces.hpp"

namespace cellproof {

namespace {

std::optional<FacingFace> face_of(std::array<Vector3d, 3> corner, Facing facing, double least_cos, bool both_sides) {
  Vector3d normal = (corner[1] - corner[0]).cross(corner[2] - corner[0]);
  const double length = normal.norm(), wanted = facing == Facing::along ? 1 : -1;
  if (!(length > 0)) return std::nullopt;
  if (both_sides && wanted * normal.z() < 0) normal = -normal;
  if (!(wanted * normal.z() >= least_cos * length)) return std::nullopt;
  const double turned = (corner[1] - corner[0]).head<2>().x() * (corner[2] - corner[0]).head<2>().y() -
                        (corner[1] - corner[0]).head<2>().y() * (corner[2] - corner[0]).head<2>().x();
  if (turned < 0) std::swap(corner[1], corner[2]);
  FacingFace face;
  face.slope = -normal.head<2>() / normal.z();
  face.height_at_origin = corner[0].z() - face.slope.dot(corner[0].head<2>());
  face.low = face.high = corner[0].head<2>();
  face.least_height = face.greatest_height = corner[0].z();
  for (std::size_t i = 0; i < 3; ++i) {
    face.corner[i] = corner[i].head<2>();
    face.low = face.low.cwiseMin(face.corner[i]);
    face.high = face.high.cwiseMax(face.corner[i]);
    face.least_height = std::min(face.least_height, corner[i].z());
    face.greatest_height = std::max(face.greatest_height, corner[i].z());
  }
  return face;
}

/// Calls look(front face, back face) for every two that may lie over one another, across the direction.
template <class Look>
void each_opposite(std::span<const FacingFace> front, std::span<const FacingFace> back, const Look& look) {
  std::vector<const FacingFace*> sorted;
  double widest = 0;
  for (const FacingFace& face : back) {
    sorted.push_back(&face);
    widest = std::max(widest, face.high.x() - face.low.x());
  }
  std::ranges::stable_sort(sorted, {}, [](const FacingFace* face) { return face->low.x(); });
  for (const FacingFace& mine : front) {
    auto other = std::ranges::lower_bound(sorted, mine.low.x() - widest, {},
                                          [](const FacingFace* face) { return face->low.x(); });
    for (; other != sorted.end() && (*other)->low.x() < mine.high.x(); ++other)
      if ((*other)->high.x() > mine.low.x() && (*other)->low.y() < mine.high.y() && (*other)->high.y() > mine.low.y())
        look(mine, **other);
  }
}

Outline common_outline(const FacingFace& a, const FacingFace& b) {
  return common_of({a.corner.begin(), a.corner.end()}, {b.corner.begin(), b.corner.end()});
}

double gap_at(const FacingFace& front, const FacingFace& back, const Vector2d& point) {
  return back.height(point) - front.height(point);
}

double projected_area(const FacingFace& face) {
  return area_of({face.corner.begin(), face.corner.end()});
}

/// The gap nearest 0 over an outline, if it is no deeper a cut than that.
std::optional<double> least_gap(const FacingFace& front, const FacingFace& back, const Outline& outline,
                                double deepest_mm) {
  double least = std::numeric_limits<double>::infinity(), greatest = -least;
  for (const Vector2d& point : outline) {
    least = std::min(least, gap_at(front, back, point));
    greatest = std::max(greatest, gap_at(front, back, point));
  }
  if (greatest < -deepest_mm) return std::nullopt;
  if (least <= 0 && greatest >= 0) return 0.0;
  return least > 0 ? least : greatest;
}

}  // namespace

std::optional<FacesGap> faces_gap(std::span<const FacingFace> front, std::span<const FacingFace> back,
                                  double deepest_mm) {
  std::optional<FacesGap> nearest;
  each_opposite(front, back, [&](const FacingFace& mine, const FacingFace& other) {
    const Outline common = common_outline(mine, other);
    if (area_of(common) <= least_area_mm2) return;
    const auto gap = least_gap(mine, other, common, deepest_mm);
    if (!gap || (nearest && std::abs(*gap) >= std::abs(nearest->gap_mm))) return;
    nearest = FacesGap{*gap, mine.height(common.front()), mine.body, other.body};
  });
  return nearest;
}

Eigen::Matrix3d axes_along(const Vector3d& direction) {
  const Vector3d height = direction.normalized(), x = height.unitOrthogonal();
  Eigen::Matrix3d axes;
  axes.row(0) = x;
  axes.row(1) = height.cross(x);
  axes.row(2) = height;
  return axes;
}

std::vector<FacingFace> facing_faces(std::span<const PlacedMesh> meshes, const Eigen::Matrix3d& axes, Facing facing,
                                     double least_cos, const std::function<bool(const Vector3d&)>& wanted) {
  std::vector<FacingFace> faces;
  for (const PlacedMesh& placed : meshes) {
    std::vector<Vector3d> points;
    points.reserve(placed.mesh->vertices.size());
    for (const Vector3d& vertex : placed.mesh->vertices) points.push_back(axes * (placed.pose * vertex));
    for (const Triangle& triangle : placed.mesh->triangles) {
      const std::array<Vector3d, 3> corner{points[triangle[0]], points[triangle[1]], points[triangle[2]]};
      auto face = face_of(corner, facing, least_cos, !placed.closed);
      if (!face || (wanted && !wanted(axes.transpose() * ((corner[0] + corner[1] + corner[2]) / 3)))) continue;
      face->stray_mm = std::max(placed.mesh->deviation.outside, placed.mesh->deviation.inside);
      face->body = placed.body;
      faces.push_back(*face);
    }
  }
  return faces;
}

FacesMet faces_met(std::span<const FacingFace> front, std::span<const FacingFace> back, double depth_mm) {
  FacesMet met;
  met.low = Vector2d::Constant(std::numeric_limits<double>::infinity());
  met.high = -met.low;
  UnitedArea united;
  double least = std::numeric_limits<double>::infinity(), greatest = -least;
  each_opposite(front, back, [&](const FacingFace& mine, const FacingFace& other) {
    const double depth = depth_mm - mine.stray_mm - other.stray_mm;
    if (!(depth >= 0) || other.least_height - mine.greatest_height > depth ||
        mine.least_height - other.greatest_height > depth)
      return;
    Outline met_here = common_outline(mine, other);
    for (const double sign : {1.0, -1.0})
      met_here = side_of(met_here, sign * (other.slope - mine.slope),
                         depth - sign * (other.height_at_origin - mine.height_at_origin));
    if (area_of(met_here) <= least_area_mm2) return;
    united.add(met_here);
    for (const Vector2d& point : met_here) {
      met.low = met.low.cwiseMin(point);
      met.high = met.high.cwiseMax(point);
      least = std::min(least, mine.height(point));
      greatest = std::max(greatest, mine.height(point));
    }
    if (std::ranges::find(met.bodies, mine.body) == met.bodies.end()) met.bodies.push_back(mine.body);
  });
  std::ranges::sort(met.bodies);
  met.area_mm2 = united.area();
  for (const FacingFace& face : front)
    if (met.area_mm2 > 0 && face.least_height <= greatest + depth_mm && face.greatest_height >= least - depth_mm &&
        std::ranges::find(met.bodies, face.body) != met.bodies.end())
      met.face_mm2 += projected_area(face);
  return met;
}

std::optional<FacesGap> faces_air(std::span<const FacingFace> front, std::span<const FacingFace> back) {
  return faces_gap(front, back, 0);
}

}  // namespace cellproof
