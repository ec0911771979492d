// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/picking.hpp"

#include <cmath>

#include <fmt/format.h>

namespace cellproof {

namespace {

void snap(const Mesh& mesh, double snap_mm, PickedPoint& point) {
  double nearest = snap_mm * snap_mm;
  const Vector3d met = point.in_body;
  for (const Vector3d& vertex : mesh.vertices)
    if (const double squared = (vertex - met).squaredNorm(); squared <= nearest) {
      nearest = squared;
      point.in_body = vertex;
      point.on_corner = true;
    }
}

}  // namespace

std::optional<PickedPoint> pick(const Scene& scene, const Instant& at, const LookLine& line, const Wanted& wanted,
                                double snap_mm) {
  const auto met = first_met(scene, at, line, wanted);
  if (!met) return std::nullopt;
  const SceneBody& body = scene.bodies[met->body];
  PickedPoint point;
  point.body = met->body;
  point.in_body = at.pose_of(body).inverse() * (line.eye + met->along * line.direction);
  snap(body.solid->mesh(), snap_mm, point);
  return point;
}

Vector3d in_world(const Scene& scene, const Instant& at, const PickedPoint& point) {
  return at.pose_of(scene.bodies[point.body]) * point.in_body;
}

Ruler with_point(const Ruler& ruler, const PickedPoint& point) {
  if (!ruler.from || ruler.to) return {point, std::nullopt};
  return {ruler.from, point};
}

std::string ruler_text(const Scene& scene, const Instant& at, const Ruler& ruler, LengthUnit unit) {
  if (!ruler.from || !ruler.to) return {};
  const Vector3d way = in_world(scene, at, *ruler.to) - in_world(scene, at, *ruler.from);
  const auto part = [unit](double mm) {
    const std::string text = length_text(mm, unit);
    return text.substr(0, text.find(' '));
  };
  return fmt::format("{} (x {}, y {}, z {})", length_text(way.norm(), unit), part(way.x()), part(way.y()),
                     part(way.z()));
}

}  // namespace cellproof
