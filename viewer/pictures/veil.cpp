// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/veil.hpp"

#include <algorithm>
#include <functional>

namespace cellproof {
namespace {

constexpr double small_share = 0.02;        // of the subjects' samples, for a body
constexpr double small_wall_share = 0.002;  // the same for one of its walls
constexpr double floor_slope = 0.9;         // least upward part of a floor's normal
constexpr int every = 7;                    // samples of which one is asked who hides the subjects

/// Rays from the eye to some of what the still is about.
std::vector<Ray> rays_to(const Surfaces& subjects, const Eye& eye) {
  std::vector<Ray> rays;
  for (int row = 0; row < subjects.rows; row += every)
    for (int column = 0; column < subjects.columns; column += every) {
      const Surface& subject = subjects.solid[pixel_number(column, row, subjects.columns)];
      if (!subject.body) continue;
      rays.push_back(*eye.ray(pixel_of_sample(column, row)));
      rays.back().far = static_cast<double>(subject.depth) - 0.1;
    }
  return rays;
}

/// Every surface that every ray meets on its way, one after the other.
using OnMeeting = std::function<void(std::size_t ray, const Ray& as_cast, const Hit& hit)>;
void meet_all(const Sight& sight, std::vector<Ray> rays, const OnMeeting& on_meeting) {
  constexpr double past_a_surface = 0.5;
  std::vector<std::size_t> number(rays.size());
  for (std::size_t i = 0; i < number.size(); ++i) number[i] = i;
  std::vector<Hit> hits;
  while (!rays.empty()) {
    hits.assign(rays.size(), Hit{});
    sight.first_hits(rays, hits);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < rays.size(); ++i) {
      if (!hits[i].body) continue;
      on_meeting(number[i], rays[i], hits[i]);
      Ray ray = rays[i];
      ray.near = hits[i].along + past_a_surface;
      if (!(ray.near < ray.far)) continue;
      rays[kept] = ray;
      number[kept++] = number[i];
    }
    rays.resize(kept);
  }
}

/// Which bodies stand before more than a small share of the subjects.
Table<BodyId, char> hiding_bodies(std::size_t bodies, const Sight& around, const std::vector<Ray>& rays) {
  std::vector<std::vector<BodyId>> counted(rays.size());  // bodies already met on the ray
  Table<BodyId, long> hidden(bodies, 0);
  meet_all(around, rays, [&](std::size_t ray, const Ray&, const Hit& hit) {
    const BodyId body = around.body_of(hit);
    if (std::ranges::find(counted[ray], body) != counted[ray].end()) return;
    ++hidden[body];
    counted[ray].push_back(body);
  });
  Table<BodyId, char> result(bodies);
  for (const BodyId i : ids_of(result))
    result[i] = static_cast<double>(hidden[i]) > small_share * static_cast<double>(rays.size()) ? 1 : 0;
  return result;
}

}  // namespace

Veil::Veil(const Scene& scene, const Instant& at, const ParallelEye& eye, int width, int height,
           const Table<BodyId, char>& drawn)
    : eye_(eye),
      columns_(width * samples_a_side),
      hiding_(scene.bodies.size()),
      flange_(at.frame_in_world[scene.flange_frame].translation()) {
  const auto is_subject = [&](BodyId body) { return scene.bodies[body].kind != BodyKind::surroundings; };
  const auto is_drawn = [&](BodyId body) { return drawn[body] != 0; };
  const Surfaces subjects =
      trace(eye.eye(width, height),
            sight_from(scene, at, eye.in_world, [&](BodyId b) { return is_drawn(b) && is_subject(b); }), {});
  const Sight around = sight_from(scene, at, eye.in_world, [&](BodyId b) { return is_drawn(b) && !is_subject(b); });
  const std::vector<Ray> rays = rays_to(subjects, eye.eye(width, height));
  const Table<BodyId, char> hides = hiding_bodies(scene.bodies.size(), around, rays);
  for (const BodyId i : ids_of(hides)) {
    if (!hides[i]) continue;
    const SceneBody& body = scene.bodies[i];
    hiding_[i].eye_in_body = at.frame_in_world[body.frame].inverse() * eye.in_world;
    hiding_[i].walls = std::make_shared<const Walls>(body.solid->mesh());
  }
  choose_walls(around, rays);
}

void Veil::choose_walls(const Sight& around, const std::vector<Ray>& to_subjects) {
  Table<BodyId, Table<WallId, long>> hidden(hiding_.size());
  for (const BodyId i : ids_of(hiding_))
    if (hiding_[i].walls) hidden[i].assign(hiding_[i].walls->all().size(), 0);
  meet_all(around, to_subjects, [&](std::size_t, const Ray& ray, const Hit& hit) {
    const BodyId body = around.body_of(hit);
    if (!hiding_[body].walls) return;
    const WallId wall = wall_at(hiding_[body], ray.origin + hit.along * ray.direction, hit.normal.normalized());
    if (wall) ++hidden[body][wall];
  });
  const double enough = small_wall_share * static_cast<double>(to_subjects.size());
  for (const BodyId i : ids_of(hiding_))
    for (const WallId wall : ids_of(hidden[i]))
      hiding_[i].through.push_back(
          static_cast<double>(hidden[i][wall]) > enough || is_nearer(hiding_[i], hiding_[i].walls->all()[wall]) ? 1
                                                                                                                : 0);
}

WallId Veil::wall_at(const Hiding& hiding, const Vector3d& place_in_eye, const Vector3d& normal_in_eye) const {
  return hiding.walls->at(hiding.eye_in_body * place_in_eye, hiding.eye_in_body.linear() * normal_in_eye);
}

bool Veil::is_nearer(const Hiding& hiding, const Wall& wall) const {
  const Pose body_in_world = eye_.in_world * hiding.eye_in_body.inverse();
  const Vector3d middle = body_in_world * wall.middle;
  const bool is_floor = std::abs((body_in_world.linear() * wall.normal).z()) > floor_slope && middle.z() < flange_.z();
  return !is_floor && eye_.depth(middle) < eye_.depth(flange_);
}

bool Veil::see_through(std::size_t sample, const Surface& surface) const {
  const Hiding& hiding = hiding_[surface.body];
  if (!hiding.walls) return false;
  const auto columns = static_cast<std::size_t>(columns_);
  const Vector2d offset =
      (pixel_of_sample(static_cast<int>(sample % columns), static_cast<int>(sample / columns)) - eye_.middle) *
      eye_.mm_per_pixel;
  const Vector3d place(offset.x(), offset.y(), static_cast<double>(surface.depth));
  const WallId wall = wall_at(hiding, place, surface.normal.cast<double>());
  return wall && hiding.through[wall] != 0;
}

}  // namespace cellproof
