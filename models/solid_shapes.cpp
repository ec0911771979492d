// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/solid_shapes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "models/triangulate.hpp"

namespace cellproof::models {
namespace {

using Index = std::uint32_t;
constexpr double full_turn = 2 * std::numbers::pi;

/// All points lie on a grid of a micrometre, so that another maths library makes the same meshes.
double on_grid(double value) {
  return std::round(value * 1000) / 1000;
}
Outline on_grid(Outline outline) {
  for (Vector2d& point : outline) point = {on_grid(point.x()), on_grid(point.y())};
  return outline;
}

void add_quad(Shape& shape, Index a, Index b, Index c, Index d) {
  shape.triangles.push_back({a, b, c});
  shape.triangles.push_back({a, c, d});
}

/// The wall over a loop of `count` points that starts at `first` in the lower layer; the upper layer lies `layer`
/// further.
void add_wall(Shape& shape, Index first, Index count, Index layer, bool hole) {
  for (Index i = 0; i < count; ++i) {
    const Index a = first + i, b = first + (i + 1) % count;
    if (hole) {
      add_quad(shape, b, a, a + layer, b + layer);
    } else {
      add_quad(shape, a, b, b + layer, a + layer);
    }
  }
}

/// The arc that replaces a corner, or the corner itself where it is straight.
Outline arc_at(const Vector2d& before, const Vector2d& corner, const Vector2d& after, double radius, int steps) {
  const Vector2d in = (before - corner).normalized(), out = (after - corner).normalized();
  const double half = std::acos(std::clamp(in.dot(out), -1.0, 1.0)) / 2;
  if (std::abs(std::cos(half)) < 1e-6) return {corner};
  const double room = 0.49 * std::min((before - corner).norm(), (after - corner).norm());
  const double back = std::min(radius / std::tan(half), room);
  const Vector2d centre = corner + (in + out).normalized() * (back / std::cos(half));
  const Vector2d from = corner + in * back - centre, to = corner + out * back - centre;
  const double sweep = std::atan2(from.x() * to.y() - from.y() * to.x(), from.dot(to));
  Outline arc;
  for (int k = 0; k <= steps; ++k) {
    arc.emplace_back(centre + Eigen::Rotation2Dd(sweep * k / steps) * from);
  }
  return arc;
}

}  // namespace

Outline rectangle(const Vector2d& low, const Vector2d& high) {
  return {low, {high.x(), low.y()}, high, {low.x(), high.y()}};
}

Outline circle(const Vector2d& centre, double radius, int segments) {
  Outline outline;
  for (int k = 0; k < segments; ++k) {
    const double angle = full_turn * k / segments;
    outline.emplace_back(centre + radius * Vector2d(std::cos(angle), std::sin(angle)));
  }
  return outline;
}

std::vector<Outline> hole_circle(double pitch_radius, double radius, int count, int segments, double first_angle) {
  std::vector<Outline> holes;
  for (int k = 0; k < count; ++k) {
    const double angle = first_angle + full_turn * k / count;
    holes.push_back(circle(pitch_radius * Vector2d(std::cos(angle), std::sin(angle)), radius, segments));
  }
  return holes;
}

Outline rounded(const Outline& outline, double radius, int steps) {
  Outline result;
  const std::size_t count = outline.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vector2d& corner = outline[i];
    if (corner.x() == 0) {
      result.push_back(corner);
      continue;
    }
    const Outline arc = arc_at(outline[(i + count - 1) % count], corner, outline[(i + 1) % count], radius, steps);
    result.insert(result.end(), arc.begin(), arc.end());
  }
  return result;
}

Shape extrude(const Outline& outline, const std::vector<Outline>& holes, double from, double to) {
  std::vector<Outline> loops = {on_grid(outline)};
  for (const Outline& hole : holes) loops.push_back(on_grid(hole));
  Shape shape;
  for (const double height : {from, to}) {
    for (const Outline& loop : loops) {
      for (const Vector2d& point : loop) shape.vertices.emplace_back(point.x(), point.y(), height);
    }
  }
  const auto layer = static_cast<Index>(shape.vertices.size() / 2);
  Index first = 0;
  for (std::size_t k = 0; k < loops.size(); ++k) {
    const auto count = static_cast<Index>(loops[k].size());
    add_wall(shape, first, count, layer, k > 0);
    first += count;
  }
  for (const auto& [a, b, c] : triangulate(loops.front(), {loops.begin() + 1, loops.end()})) {
    shape.triangles.push_back({a, c, b});
    shape.triangles.push_back({a + layer, b + layer, c + layer});
  }
  return shape;
}

Shape extrude(const Outline& outline, double from, double to) {
  return extrude(outline, {}, from, to);
}

Shape extrude_along_x(const Outline& outline, const std::vector<Outline>& holes, double from, double to) {
  return moved(extrude(outline, holes, from, to), z_to_x());
}

Shape extrude_along_y(const Outline& outline, const std::vector<Outline>& holes, double from, double to) {
  return moved(extrude(outline, holes, -to, -from), turn(90, Vector3d::UnitX()));
}

Shape revolve(const Outline& outline, int segments) {
  Shape shape;
  const auto steps = static_cast<Index>(segments);
  std::vector<Index> first;  // of each outline point's ring; a point on the axis is a ring of one
  for (const Vector2d& point : outline) {
    first.push_back(static_cast<Index>(shape.vertices.size()));
    const Index ring = point.x() == 0 ? 1 : steps;
    for (Index k = 0; k < ring; ++k) {
      const double angle = full_turn * k / segments;
      shape.vertices.emplace_back(point.x() * std::cos(angle), point.x() * std::sin(angle), point.y());
    }
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const std::size_t j = (i + 1) % outline.size();
    const bool a_on_axis = outline[i].x() == 0, b_on_axis = outline[j].x() == 0;
    for (Index k = 0; k < steps; ++k) {
      const Index next = (k + 1) % steps;
      const Index a0 = first[i] + (a_on_axis ? 0 : k), a1 = first[i] + (a_on_axis ? 0 : next);
      const Index b0 = first[j] + (b_on_axis ? 0 : k), b1 = first[j] + (b_on_axis ? 0 : next);
      if (!a_on_axis) shape.triangles.push_back({a0, a1, b1});
      if (!b_on_axis) shape.triangles.push_back({a0, b1, b0});
    }
  }
  return shape;
}

Shape box(const Vector3d& low, const Vector3d& high) {
  return extrude(rectangle(low.head<2>(), high.head<2>()), low.z(), high.z());
}

Shape cylinder(double radius, double from, double to, int segments) {
  return revolve({{0, from}, {radius, from}, {radius, to}, {0, to}}, segments);
}

Shape tube(double outer_radius, double inner_radius, double from, double to, int segments) {
  return revolve({{inner_radius, from}, {outer_radius, from}, {outer_radius, to}, {inner_radius, to}}, segments);
}

Shape moved(Shape shape, const Pose& pose) {
  for (Vector3d& vertex : shape.vertices) vertex = pose * vertex;
  return shape;
}

Shape joined(const std::vector<Shape>& shapes) {
  Shape all;
  for (const Shape& shape : shapes) {
    const auto offset = static_cast<Index>(all.vertices.size());
    all.vertices.insert(all.vertices.end(), shape.vertices.begin(), shape.vertices.end());
    for (const auto& [a, b, c] : shape.triangles) all.triangles.push_back({a + offset, b + offset, c + offset});
  }
  return all;
}

Pose shift(double x, double y, double z) {
  return Pose(Eigen::Translation3d(x, y, z));
}

Pose turn(double degrees, const Vector3d& axis) {
  return Pose(Eigen::AngleAxisd(degrees * std::numbers::pi / 180, axis));
}

Pose z_to_x() {
  Pose pose = Pose::Identity();
  pose.linear() << 0, 0, 1, 1, 0, 0, 0, 1, 0;
  return pose;
}

Pose z_to_y() {
  Pose pose = Pose::Identity();
  pose.linear() << 0, 1, 0, 0, 0, 1, 1, 0, 0;
  return pose;
}

bool closed_and_outward(const Shape& shape) {
  using Point = std::array<double, 3>;
  std::map<std::array<Point, 2>, int> uses;  // of each directed edge
  double volume6 = 0;
  for (const auto& triangle : shape.triangles) {
    auto corner = [&](std::size_t k) -> const Vector3d& { return shape.vertices[triangle[k % 3]]; };
    auto point = [&](std::size_t k) { return Point{corner(k).x(), corner(k).y(), corner(k).z()}; };
    for (std::size_t k = 0; k < 3; ++k) ++uses[{point(k), point(k + 1)}];
    volume6 += corner(0).dot(corner(1).cross(corner(2)));
  }
  return volume6 > 0 && std::ranges::all_of(uses, [&uses](const auto& edge) {
           const auto back = uses.find({edge.first[1], edge.first[0]});
           return edge.second == 1 && back != uses.end() && back->second == 1;
         });
}

}  // namespace cellproof::models
