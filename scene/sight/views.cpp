// SPDX-License-Identifier: GPL-3.0-or-later
// The whole picture of a camera, pixel by pixel.
#include "scene/sight/views.hpp"

#include <algorithm>

#include "scene/basics/parallel.hpp"
#include "scene/sight/scatter.hpp"
#include "scene/sight/sight.hpp"

namespace cellproof {
namespace {

/// Parts along each side of a pixel at an edge.
constexpr int fine = 4;

/// The bodies seen at places in the picture, or none.
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
Vector2d place_in(int column, int row, int parts) {
  const Vector2d off = scattered(column, row);
  return {(column + off.x()) / parts - 0.5, (row + off.y()) / parts - 0.5};
}

/// What each pixel sees.
using Seen = Raster<BodyId>;

Seen see(const Camera& camera, const Sight& sight, const ViewRequest& request) {
  Seen seen(camera.width, camera.height);
  parallel_rows(seen.rows(), request.threads, request.stop, [&](int row) {
    std::vector<Vector2d> places;
    for (int column = 0; column < seen.columns(); ++column) places.push_back(place_in(column, row, 1));
    std::ranges::copy(seen_at(camera, sight, places), seen.row_begin(row));
  });
  return seen;
}

/// True where one of a pixel's eight neighbours sees something else.
bool at_edge(const Seen& seen, int column, int row) {
  const BodyId own = seen.at(column, row);
  for (int down = std::max(row - 1, 0); down <= std::min(row + 1, seen.rows() - 1); ++down)
    for (int right = std::max(column - 1, 0); right <= std::min(column + 1, seen.columns() - 1); ++right)
      if (seen.at(right, down) != own) return true;
  return false;
}

/// By body, how many of a row's fine × fine × width parts see it.
ById<SceneBody, long> parts_of_row(const Camera& camera, const Sight& sight, const Seen& seen, int row,
                                   std::size_t body_count) {
  ById<SceneBody, long> parts(body_count);
  const auto add = [&](BodyId body, long count) {
    if (body) parts[body] += count;
  };
  std::vector<Vector2d> places;
  for (int column = 0; column < seen.columns(); ++column) {
    if (!at_edge(seen, column, row)) {
      add(seen.at(column, row), fine * fine);
      continue;
    }
    for (int down = 0; down < fine; ++down)
      for (int right = 0; right < fine; ++right)
        places.push_back(place_in(column * fine + right, row * fine + down, fine));
  }
  for (const BodyId body : seen_at(camera, sight, places)) add(body, 1);
  return parts;
}

/// The end effector's bodies among those seen, largest first.
std::vector<BlockedPixels> count_end_effector(const Scene& scene, const Camera& camera, const Sight& sight,
                                              const Seen& seen, const ViewRequest& request) {
  Raster<ById<SceneBody, long>> parts(1, seen.rows());
  parallel_rows(seen.rows(), request.threads, request.stop,
                [&](int row) { parts.at(0, row) = parts_of_row(camera, sight, seen, row, scene.bodies.size()); });
  const double whole = static_cast<double>(seen.size() * fine * fine);
  std::vector<BlockedPixels> counted;
  for (const BodyId body : ids_of(scene.bodies)) {
    if (scene[body].kind != BodyKind::end_effector) continue;
    long of_body = 0;
    for (const auto& row : parts)
      if (!row.empty()) of_body += row[body];
    const long pixels = std::ranges::count(seen, body);
    if (of_body > 0) counted.push_back({body, pixels, static_cast<double>(of_body) / whole});
  }
  std::ranges::stable_sort(counted, std::greater{}, &BlockedPixels::share);
  return counted;
}

}  // namespace

Raster<BodyId> seen_bodies(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell[request.camera];
  const Instant at = instant(scene, request.arrangement, request.joints);
  return see(camera, sight_of_camera(scene, at, camera), request);
}

CameraView measure_view(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell[request.camera];
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
