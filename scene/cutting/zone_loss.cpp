// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/zone_loss.hpp"

#include <algorithm>
#include <cmath>

#include "scene/cell/zone_shape.hpp"
#include "scene/solids/surface_distance.hpp"

namespace cellproof {

namespace {

constexpr double borne_mm = 2;
constexpr int circle_corners = 360;

/// Left of it is inside: normal · x <= offset.
struct HalfPlane {
  Vector2d normal;
  double offset;
};

/// The cutter's section with the zone's seal plane, in the zone's frame.
std::vector<HalfPlane> section(const ConvexSolid& cutter, const Pose& body_in_zone) {
  std::vector<HalfPlane> planes;
  for (const HalfSpace& face : half_spaces(placed(cutter, body_in_zone)))
    planes.push_back({face.normal.head<2>(), face.offset});
  return planes;
}

/// What of an outline lies on one side of a line (I. Sutherland, G. Hodgman, 1974); of a dented one with bridges of no
/// area.
Outline side_of(const Outline& outline, const HalfPlane& plane, double sign) {
  const auto height = [&](const Vector2d& point) { return sign * (plane.normal.dot(point) - plane.offset); };
  Outline kept;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vector2d &a = outline[i], &b = outline[(i + 1) % outline.size()];
    const double above_a = height(a), above_b = height(b);
    if (above_a <= 0) kept.push_back(a);
    if ((above_a <= 0) != (above_b <= 0)) kept.push_back(a + (b - a) * (above_a / (above_a - above_b)));
  }
  return kept;
}

/// What a section leaves of outlines, in pieces.
std::vector<Outline> outside(const std::vector<Outline>& outlines, const std::vector<HalfPlane>& section) {
  std::vector<Outline> pieces;
  for (Outline inside : outlines)
    for (const HalfPlane& plane : section) {
      pieces.push_back(side_of(inside, plane, -1));
      inside = side_of(inside, plane, 1);
    }
  std::erase_if(pieces, [](const Outline& piece) { return piece.size() < 3; });
  return pieces;
}

double area_left(const Outline& border, const std::vector<std::vector<HalfPlane>>& sections) {
  std::vector<Outline> left{border};
  for (const auto& section : sections) left = outside(left, section);
  double area = 0;
  for (const Outline& piece : left) area += std::abs(polygon_area(piece).area);
  return area;
}

/// Points along the border, at most a millimetre apart.
std::vector<Vector2d> points_along(const std::vector<Outline>& borders) {
  std::vector<Vector2d> points;
  for (const Outline& border : borders)
    for (std::size_t i = 0; i < border.size(); ++i) {
      const Vector2d &a = border[i], &b = border[(i + 1) % border.size()];
      const int pieces = std::max(1, static_cast<int>(std::ceil((b - a).norm())));
      for (int k = 0; k < pieces; ++k) points.push_back(a + (b - a) * k / pieces);
    }
  return points;
}

bool within(const Vector2d& point, const std::vector<HalfPlane>& section) {
  return std::all_of(section.begin(), section.end(),
                     [&](const HalfPlane& plane) { return plane.normal.dot(point) < plane.offset; });
}

}  // namespace

ZoneLoss zone_loss(const Suction& zone, const Pose& zone_in_body, const Solid& body,
                   const std::vector<ConvexSolid>& cutters) {
  ZoneLoss loss;
  loss.area_mm2 = zone_area(zone).area;
  const std::vector<Outline> borders = zone_borders(zone, circle_corners);
  const std::vector<Vector2d> seal = points_along(borders);
  const auto borne = [&](const Vector2d& point) {
    return distance_to_surface(body, zone_in_body * Vector3d(point.x(), point.y(), 0)) <= borne_mm;
  };
  if (std::none_of(seal.begin(), seal.end(), borne)) return loss;
  std::vector<std::vector<HalfPlane>> sections;
  for (const ConvexSolid& cutter : cutters) sections.push_back(section(cutter, zone_in_body.inverse()));
  loss.seal_crossed = std::any_of(seal.begin(), seal.end(), [&](const Vector2d& point) {
    return std::any_of(sections.begin(), sections.end(), [&](const auto& planes) { return within(point, planes); });
  });
  double whole = 0, left = 0;
  for (std::size_t i = 0; i < borders.size(); ++i) {
    const double sign = i == 0 ? 1 : -1;
    whole += sign * std::abs(polygon_area(borders[i]).area);
    left += sign * area_left(borders[i], sections);
  }
  loss.lost_mm2 = whole > 0 ? loss.area_mm2 * std::clamp(1 - left / whole, 0.0, 1.0) : 0;
  return loss;
}

}  // namespace cellproof
