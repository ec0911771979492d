// SPDX-License-Identifier: GPL-3.0-or-later
#include "window/desk/picking.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

namespace cellproof {

namespace {

Pose eye_at(const Vector3d& place) {
  Pose pose = Pose::Identity();
  pose.translation() = place;
  return pose;
}

const Pose& body_in_world(const Scene& scene, const Instant& at, int body) {
  return at.frame_in_world[static_cast<std::size_t>(scene.bodies[static_cast<std::size_t>(body)].frame)];
}

Hit first_hit(const Sight& sight, const Ray& ray) {
  std::array<Hit, 1> hit;
  sight.first_hits(std::array{ray}, hit);
  return hit[0];
}

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
  const Sight sight = sight_from(scene, at, eye_at(line.eye), wanted);
  const Hit hit = first_hit(sight, Ray{.origin = Vector3d::Zero(), .direction = line.direction});
  if (hit.body < 0) return std::nullopt;
  PickedPoint point;
  point.body = hit.body;
  point.in_body = body_in_world(scene, at, hit.body).inverse() * (line.eye + hit.along * line.direction);
  snap(scene.bodies[static_cast<std::size_t>(hit.body)].solid->mesh(), snap_mm, point);
  return point;
}

Vector3d in_world(const Scene& scene, const Instant& at, const PickedPoint& point) {
  return body_in_world(scene, at, point.body) * point.in_body;
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

std::vector<int> bodies_before(const Scene& scene, const Instant& at, const Vector3d& eye, const Vector3d& point,
                               const Wanted& wanted, double short_of_mm) {
  std::vector<int> before;
  const Vector3d way = point - eye;
  const double length = way.norm();
  if (length <= short_of_mm) return before;
  const auto not_yet = [&](int body) { return wanted(body) && std::ranges::find(before, body) == before.end(); };
  while (true) {
    const Sight sight = sight_from(scene, at, eye_at(eye), not_yet);
    Ray ray{.origin = Vector3d::Zero(), .direction = way};
    ray.far = 1 - short_of_mm / length;
    const Hit hit = first_hit(sight, ray);
    if (hit.body < 0) return before;
    before.push_back(hit.body);
  }
}

Vector3d clearest_direction(const Scene& scene, const Instant& at, const Vector3d& point, const Vector3d& preferred,
                            double distance_mm, const Wanted& wanted) {
  constexpr int around = 16;
  constexpr double close_mm = 1;
  Vector3d best = preferred.normalized();
  double least = std::numeric_limits<double>::infinity();
  for (const double down : {0.2, 0.5, 0.9})
    for (int i = 0; i < around; ++i) {
      const double angle = 2 * pi * i / around;
      const Vector3d direction(std::cos(angle) * std::cos(down), std::sin(angle) * std::cos(down), -std::sin(down));
      const Vector3d eye = point - distance_mm * direction;
      const double count = static_cast<double>(bodies_before(scene, at, eye, point, wanted, close_mm).size());
      const double badness = count - 0.4 * direction.dot(preferred.normalized());
      if (badness >= least) continue;
      least = badness;
      best = direction;
    }
  return best;
}

}  // namespace cellproof
