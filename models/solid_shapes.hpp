// SPDX-License-Identifier: GPL-3.0-or-later
// Closed bodies from outlines: extruded, revolved, moved, put together. mm.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include <Eigen/Geometry>

namespace cellproof::models {

using Eigen::Vector2d;
using Eigen::Vector3d;
using Pose = Eigen::Isometry3d;

/// Triangles counter-clockwise from outside, by index into the vertices. May hold several shells.
struct Shape {
  std::vector<Vector3d> vertices;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

/// A closed outline, counter-clockwise, its last point joined to its first.
using Outline = std::vector<Vector2d>;

Outline rectangle(const Vector2d& low, const Vector2d& high);
Outline circle(const Vector2d& centre, double radius, int segments);
/// `count` circles evenly on a pitch circle about the origin, the first at `first_angle` (rad).
std::vector<Outline> hole_circle(double pitch_radius, double radius, int count, int segments, double first_angle = 0);
/// Every corner rounded to an arc of `steps` chords, as far as the edges are long enough; corners at x = 0 stay sharp.
Outline rounded(const Outline& outline, double radius, int steps);

/// The outline without the holes, from z = from to z = to. Holes lie inside, apart from each other and from the
/// outline.
Shape extrude(const Outline& outline, const std::vector<Outline>& holes, double from, double to);
Shape extrude(const Outline& outline, double from, double to);

/// The same with the outline in (y, z), from x = from to x = to; and in (x, z), from y = from to y = to.
Shape extrude_along_x(const Outline& outline, const std::vector<Outline>& holes, double from, double to);
Shape extrude_along_y(const Outline& outline, const std::vector<Outline>& holes, double from, double to);

/// The outline (x the radius, not negative; y the height) turned about z in `segments` steps.
Shape revolve(const Outline& outline, int segments);

Shape box(const Vector3d& low, const Vector3d& high);
/// About z.
Shape cylinder(double radius, double from, double to, int segments);
Shape tube(double outer_radius, double inner_radius, double from, double to, int segments);

Shape moved(Shape shape, const Pose& pose);
Shape joined(const std::vector<Shape>& shapes);

Pose shift(double x, double y, double z);
/// Turn about a unit axis, degrees.
Pose turn(double degrees, const Vector3d& axis);
/// The frame whose z looks along world x, or y; its x and y stay axes of the world.
Pose z_to_x();
Pose z_to_y();

/// True if every edge, by its ends' positions, joins exactly two triangles in opposite directions, so that no two
/// shells share an edge, and the enclosed volume is positive.
bool closed_and_outward(const Shape& shape);

}  // namespace cellproof::models
