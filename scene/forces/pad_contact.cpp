// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/pad_contact.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

constexpr double across = 0.5;  // cosine: faces up to 60 degrees from the closing direction

using Wanted = std::function<bool(const Vector3d&)>;

/// Half of how far the part reaches along a direction: what is deeper in it comes from behind.
double half_extent(std::span<const PlacedMesh> part, const Vector3d& direction) {
  double least = std::numeric_limits<double>::infinity(), greatest = -least;
  for (const PlacedMesh& placed : part)
    for (const Vector3d& vertex : placed.mesh->vertices) {
      const double height = direction.dot(placed.pose * vertex);
      least = std::min(least, height);
      greatest = std::max(greatest, height);
    }
  return (greatest - least) / 2;
}

PadSide side_towards(const Vector3d& direction, std::span<const PlacedMesh> pads, std::span<const PlacedMesh> part,
                     double depth_mm, const Wanted& wanted) {
  const Eigen::Matrix3d axes = axes_along(direction);
  const auto front = facing_faces(pads, axes, Facing::along, across, wanted);
  const auto back = facing_faces(part, axes, Facing::against, across);
  PadSide side;
  side.presses = direction;
  side.met = faces_met(front, back, depth_mm);
  if (side.met.area_mm2 == 0) side.gap = faces_gap(front, back, half_extent(part, direction));
  return side;
}

/// The angle about z at which the first of three pads stands.
double angle_of_three(std::span<const PlacedMesh> pads) {
  Vector2d harmonic = Vector2d::Zero();
  for (const PlacedMesh& placed : pads)
    for (const Triangle& triangle : placed.mesh->triangles) {
      std::array<Vector3d, 3> corner;
      for (std::size_t i = 0; i < 3; ++i) corner[i] = placed.pose * placed.mesh->vertices[triangle[i]];
      const Vector3d normal = (corner[1] - corner[0]).cross(corner[2] - corner[0]);
      const Vector2d middle = ((corner[0] + corner[1] + corner[2]) / 3).head<2>();
      if (!(std::abs(normal.head<2>().dot(middle)) >= across * normal.norm() * middle.norm())) continue;
      const double thrice = 3 * std::atan2(middle.y(), middle.x());
      harmonic += normal.norm() / 2 * Vector2d(std::cos(thrice), std::sin(thrice));
    }
  return std::atan2(harmonic.y(), harmonic.x()) / 3;
}

PadContact two_pads(std::span<const PlacedMesh> pads, std::span<const PlacedMesh> part, double depth_mm) {
  PadContact contact;
  for (const double way : {1.0, -1.0})
    contact.sides.push_back(side_towards(way * Vector3d::UnitX(), pads, part, depth_mm, {}));
  const PadSide &right = contact.sides[0], &left = contact.sides[1];
  if (right.gap && left.gap) {
    // Heights are along x on the one side and against it on the other.
    const double at_first = right.gap->height + right.gap->gap_mm, at_second = -(left.gap->height + left.gap->gap_mm);
    contact.inside = right.gap->height > -left.gap->height;
    contact.width = std::abs(at_second - at_first);
  }
  return contact;
}

PadContact three_pads(std::span<const PlacedMesh> pads, std::span<const PlacedMesh> part, double depth_mm,
                      double first_angle, bool inside) {
  PadContact contact;
  contact.inside = inside;
  for (int k = 0; k < 3; ++k) {
    const double angle = first_angle + 2 * pi / 3 * k;
    const Vector3d outward(std::cos(angle), std::sin(angle), 0);
    const Wanted mine = [outward](const Vector3d& middle) {
      return outward.dot(middle) > 0.5 * middle.head<2>().norm();  // within 60 degrees of the pad's own direction
    };
    contact.sides.push_back(side_towards(inside ? outward : -outward, pads, part, depth_mm, mine));
  }
  return contact;
}

double greatest_gap(const PadContact& contact) {
  double greatest = 0;
  for (const PadSide& side : contact.sides)
    if (side.met.area_mm2 == 0)
      greatest = std::max(greatest, side.gap ? std::abs(side.gap->gap_mm) : std::numeric_limits<double>::infinity());
  return greatest;
}

}  // namespace

bool PadContact::on_all_sides() const {
  return std::ranges::all_of(sides, [](const PadSide& side) { return side.met.area_mm2 > 0; });
}

double PadContact::least_area_mm2() const {
  double least = std::numeric_limits<double>::infinity();
  for (const PadSide& side : sides) least = std::min(least, side.met.area_mm2);
  return least;
}

PadContact pad_contact(int pads, std::span<const PlacedMesh> pad_meshes, std::span<const PlacedMesh> part,
                       double depth_mm) {
  if (pads == 2) return two_pads(pad_meshes, part, depth_mm);
  const double angle = angle_of_three(pad_meshes);
  const PadContact outside = three_pads(pad_meshes, part, depth_mm, angle, false);
  const PadContact inside = three_pads(pad_meshes, part, depth_mm, angle, true);
  if (outside.least_area_mm2() != inside.least_area_mm2())
    return outside.least_area_mm2() > inside.least_area_mm2() ? outside : inside;
  return greatest_gap(inside) < greatest_gap(outside) ? inside : outside;
}

}  // namespace cellproof
