// SPDX-License-Identifier: GPL-3.0-or-later
// The whole picture of a camera, pixel by pixel.
#include "scene/views.hpp"

#include <algorithm>

#include "scene/parallel.hpp"
#include "scene/scatter.hpp"
#include "scene/sight.hpp"

namespace cellproof {
namespace {

/// The body each pixel of a row sees.
void see_row(const Camera& camera, const Sight& sight, int row, std::span<int> bodies) {
  std::vector<Ray> rays;
  std::vector<std::size_t> columns;  // of each ray: a folded pixel has none
  for (std::size_t column = 0; column < bodies.size(); ++column) {
    const Vector2d off = scattered(column, static_cast<std::uint64_t>(row));
    const Vector2d pixel(static_cast<double>(column) + off.x() - 0.5, row + off.y() - 0.5);
    const auto direction = ray_of_pixel(camera, pixel);
    if (!direction) continue;
    Ray ray{.origin = Vector3d::Zero(), .direction = *direction};
    ray.near = camera.front;  // the direction has z = 1
    rays.push_back(ray);
    columns.push_back(column);
  }
  std::vector<Hit> hits(rays.size());
  sight.first_hits(rays, hits);
  for (std::size_t i = 0; i < hits.size(); ++i) bodies[columns[i]] = hits[i].body;
}

/// The end effector's bodies among those seen, largest first.
std::vector<BlockedPixels> count_end_effector(const Scene& scene, const std::vector<int>& seen) {
  std::vector<BlockedPixels> counted;
  std::vector<long> pixels(scene.bodies.size(), 0);
  for (const int body : seen)
    if (body >= 0) ++pixels[static_cast<std::size_t>(body)];
  for (std::size_t i = 0; i < pixels.size(); ++i)
    if (pixels[i] > 0 && scene.bodies[i].kind == BodyKind::end_effector)
      counted.push_back(
          {static_cast<int>(i), pixels[i], static_cast<double>(pixels[i]) / static_cast<double>(seen.size())});
  std::ranges::stable_sort(counted, std::greater{}, &BlockedPixels::pixels);
  return counted;
}

}  // namespace

std::vector<int> seen_bodies(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell.cameras[static_cast<std::size_t>(request.camera)];
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Sight sight = sight_of_camera(scene, at, camera);
  const std::size_t width = static_cast<std::size_t>(camera.width), height = static_cast<std::size_t>(camera.height);
  std::vector<int> seen(width * height, -1);
  parallel_for(height, request.threads, request.stop, [&](std::size_t row) {
    see_row(camera, sight, static_cast<int>(row), std::span(seen).subspan(row * width, width));
  });
  return seen;
}

CameraView measure_view(const Scene& scene, const ViewRequest& request) {
  CameraView view;
  view.camera = request.camera;
  view.targets = measure_targets(scene, request);
  view.blocked_by = count_end_effector(scene, seen_bodies(scene, request));
  return view;
}

}  // namespace cellproof
