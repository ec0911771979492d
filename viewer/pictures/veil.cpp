// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/veil.hpp"

#include <algorithm>

namespace cellproof {
namespace {

constexpr double small_share = 0.02;  // of the subjects' samples
constexpr double floor_slope = 0.9;   // least upward part of a floor's normal
constexpr int every = 7;              // samples of which one is asked who hides the subjects

/// Does it stand before more than a small share of the subjects?
ById<SceneBody, char> hiding(const Scene& scene, const Sight& surroundings, const ParallelEye& eye,
                             const Raster<Surface>& subjects) {
  const Eye look = eye.eye(subjects.columns() / samples_a_side, subjects.rows() / samples_a_side);
  std::vector<Ray> rays;
  for (int row = 0; row < subjects.rows(); row += every)
    for (int column = 0; column < subjects.columns(); column += every) {
      const Surface& subject = subjects.at(column, row);
      if (!subject.body) continue;
      rays.push_back(*look.ray(pixel_of_sample(column, row)));
      rays.back().far = static_cast<double>(subject.depth) - 0.1;
    }
  ById<SceneBody, long> hidden(scene.bodies.size());
  const double all = static_cast<double>(rays.size());
  std::vector<std::vector<BodyId>> counted(rays.size());  // bodies already met on the ray
  std::vector<Hit> hits;
  while (!rays.empty()) {
    hits.assign(rays.size(), Hit{});
    surroundings.first_hits(rays, hits);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < rays.size(); ++i) {
      const BodyId body = surroundings.body_of(hits[i]);
      if (!body) continue;
      if (std::ranges::find(counted[i], body) == counted[i].end()) {
        ++hidden[body];
        counted[i].push_back(body);
      }
      Ray ray = rays[i];
      ray.near = hits[i].along + 0.5;
      if (!(ray.near < ray.far)) continue;
      std::swap(counted[kept], counted[i]);
      rays[kept++] = ray;
    }
    rays.resize(kept);
  }
  ById<SceneBody, char> result(scene.bodies.size());
  for (const BodyId body : result.ids()) result[body] = static_cast<double>(hidden[body]) > small_share * all;
  return result;
}

}  // namespace

Veil::Veil(const Scene& scene, const Instant& at, const ParallelEye& eye, int width, int height,
           const ById<SceneBody, char>& drawn)
    : eye_(eye) {
  const auto is_subject = [&](BodyId body) { return scene[body].kind != BodyKind::surroundings; };
  const auto is_drawn = [&](BodyId body) { return drawn[body] != 0; };
  subjects_ = trace(eye.eye(width, height),
                    sight_from(scene, at, eye.in_world, [&](BodyId b) { return is_drawn(b) && is_subject(b); }), {});
  const Sight around = sight_from(scene, at, eye.in_world, [&](BodyId b) { return is_drawn(b) && !is_subject(b); });
  hides_ = hiding(scene, around, eye, subjects_.solid);
  flange_ = at.frame_in_world[scene.flange_frame].translation();
}

bool Veil::see_through(std::size_t sample, const Surface& surface) const {
  if (!hides_[surface.body]) return false;
  const Surface& subject = subjects_.solid[sample];
  if (subject.body && surface.depth < subject.depth) return true;
  const double depth = static_cast<double>(surface.depth);
  if (depth >= eye_.depth(flange_)) return false;
  const Vector2d pixel = pixel_of_sample(subjects_.solid.column_of(sample), subjects_.solid.row_of(sample));
  const Vector2d offset = (pixel - eye_.middle) * eye_.mm_per_pixel;
  const Vector3d normal = eye_.in_world.linear() * surface.normal.cast<double>();
  const Vector3d place = eye_.in_world * Vector3d(offset.x(), offset.y(), depth);
  const bool is_floor = normal.z() > floor_slope && place.z() < flange_.z();
  return !is_floor;
}

}  // namespace cellproof
