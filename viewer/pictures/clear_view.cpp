// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/clear_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace cellproof {

std::optional<MetBody> first_met(const Scene& scene, const Instant& at, const LookLine& line, const Wanted& wanted,
                                 double far) {
  Pose eye = Pose::Identity();
  eye.translation() = line.eye;
  Ray ray{.origin = Vector3d::Zero(), .direction = line.direction};
  ray.far = far;
  std::array<Hit, 1> hit;
  const Sight sight = sight_from(scene, at, eye, wanted);
  sight.first_hits(std::array{ray}, hit);
  if (!hit[0].body) return std::nullopt;
  return MetBody{sight.body_of(hit[0]), hit[0].along};
}

std::vector<BodyId> bodies_before(const Scene& scene, const Instant& at, const Vector3d& eye, const Vector3d& point,
                                  const Wanted& wanted, double short_of_mm) {
  std::vector<BodyId> before;
  const Vector3d way = point - eye;
  const double length = way.norm();
  if (length <= short_of_mm) return before;
  const auto not_yet = [&](BodyId body) { return wanted(body) && std::ranges::find(before, body) == before.end(); };
  while (true) {
    const auto met = first_met(scene, at, {eye, way}, not_yet, 1 - short_of_mm / length);
    if (!met) return before;
    before.push_back(met->body);
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
