// SPDX-License-Identifier: GPL-3.0-or-later
// The whole picture of a camera, pixel by pixel.
#include "scene/sight/views.hpp"

#include <algorithm>
#include <cmath>

#include "scene/basics/parallel.hpp"
#include "scene/sight/scatter.hpp"
#include "scene/sight/sight.hpp"

namespace cellproof {
namespace {

/// The bodies seen at places in the picture, none where nothing is.
std::vector<BodyId> seen_at(const Camera& camera, const Sight& sight, const std::vector<Vector2d>& places) {
  std::vector<BodyId> bodies(places.size());
  std::vector<Ray> rays;
  std::vector<std::size_t> place_of_ray;  // a folded pixel has none
  for (std::size_t i = 0; i < places.size(); ++i) {
    const auto direction = ray_of_pixel(camera, places[i]);
    if (!direction) continue;
    Ray ray{.origin = Vector3d::Zero(), .direction = *direction};
    ray.near = camera.front;  // the direction has z = 1
    rays.push_back(ray);
    place_of_ray.push_back(i);
  }
  std::vector<Hit> hits(rays.size());
  sight.first_hits(rays, hits);
  for (std::size_t i = 0; i < hits.size(); ++i) bodies[place_of_ray[i]] = sight.body_of(hits[i]);
  return bodies;
}

/// A place within a part of the pixel, where each side is cut into `parts`.
Vector2d place_in(std::size_t column, std::size_t row, std::size_t parts) {
  const Vector2d off = scattered(column, row);
  const auto along = static_cast<double>(parts);
  return {(static_cast<double>(column) + off.x()) / along - 0.5, (static_cast<double>(row) + off.y()) / along - 0.5};
}

/// What each pixel sees, row by row.
struct Seen {
  std::size_t width, height;
  std::vector<BodyId> bodies;
  BodyId at(std::size_t column, std::size_t row) const { return bodies[row * width + column]; }
};

Seen see(const Camera& camera, const Sight& sight, const ViewRequest& request) {
  Seen seen{static_cast<std::size_t>(camera.width), static_cast<std::size_t>(camera.height), {}};
  seen.bodies.assign(seen.width * seen.height, BodyId{});
  parallel_for(seen.height, request.threads, request.stop, [&](std::size_t row) {
    std::vector<Vector2d> places;
    for (std::size_t column = 0; column < seen.width; ++column) places.push_back(place_in(column, row, 1));
    std::ranges::copy(seen_at(camera, sight, places),
                      seen.bodies.begin() + static_cast<std::ptrdiff_t>(row * seen.width));
  });
  return seen;
}

/// Parts along each side of a pixel: every pixel alike, as a pixel that looks plain by one sample may still hold a
/// wire. A large picture's own pixels are samples enough.
std::size_t parts_along(const Camera& camera) {
  constexpr double enough = 300000;
  return static_cast<std::size_t>(std::ceil(std::sqrt(enough / (static_cast<double>(camera.width) * camera.height))));
}

using PixelsOfBodies = Table<BodyId, long>;

/// How many of a row's parts see each body.
PixelsOfBodies parts_of_row(const Camera& camera, const Sight& sight, std::size_t row, std::size_t body_count) {
  const std::size_t fine = parts_along(camera);
  PixelsOfBodies parts(body_count, 0);
  std::vector<Vector2d> places;
  for (std::size_t down = 0; down < fine; ++down)
    for (std::size_t column = 0; column < static_cast<std::size_t>(camera.width) * fine; ++column)
      places.push_back(place_in(column, row * fine + down, fine));
  for (const BodyId body : seen_at(camera, sight, places))
    if (body) ++parts[body];
  return parts;
}

/// How many parts of the whole picture see each body.
PixelsOfBodies parts_of_picture(const Camera& camera, const Sight& sight, std::size_t body_count,
                                const ViewRequest& request) {
  std::vector<PixelsOfBodies> by_row(static_cast<std::size_t>(camera.height));
  parallel_for(by_row.size(), request.threads, request.stop,
               [&](std::size_t row) { by_row[row] = parts_of_row(camera, sight, row, body_count); });
  PixelsOfBodies parts(body_count, 0);
  for (const auto& row : by_row)
    for (const BodyId body : ids_of(row)) parts[body] += row[body];
  return parts;
}

/// The end effector's bodies among those seen, largest first.
std::vector<BlockedPixels> count_end_effector(const Scene& scene, const Camera& camera, const Sight& sight,
                                              const Seen& seen, const ViewRequest& request) {
  PixelsOfBodies pixels(scene.bodies.size(), 0);
  for (const BodyId body : seen.bodies)
    if (body) ++pixels[body];
  const std::size_t fine = parts_along(camera);
  const auto parts = fine == 1 ? pixels : parts_of_picture(camera, sight, scene.bodies.size(), request);
  const double whole = static_cast<double>(seen.bodies.size() * fine * fine);
  std::vector<BlockedPixels> counted;
  for (const BodyId i : ids_of(scene.bodies)) {
    if (scene.bodies[i].kind != BodyKind::end_effector) continue;
    if (parts[i] > 0) counted.push_back({i, pixels[i], static_cast<double>(parts[i]) / whole});
  }
  std::ranges::stable_sort(counted, std::greater{}, &BlockedPixels::share);
  return counted;
}

}  // namespace

std::vector<BodyId> seen_bodies(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell.cameras[request.camera];
  const Instant at = instant(scene, request.arrangement, request.joints);
  return see(camera, sight_of_camera(scene, at, camera), request).bodies;
}

CameraView measure_view(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell.cameras[request.camera];
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Sight sight = sight_of_camera(scene, at, camera);
  CameraView view;
  view.camera = request.camera;
  view.targets = measure_targets(scene, request);
  const auto rims = measure_rims(scene, request);
  for (std::size_t i = 0; i < rims.size(); ++i) view.targets[i].rim = rims[i];
  view.blocked_by = count_end_effector(scene, camera, sight, see(camera, sight, request), request);
  return view;
}

}  // namespace cellproof
