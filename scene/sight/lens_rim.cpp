// SPDX-License-Identifier: GPL-3.0-or-later
// Targets seen from the rim of the lens, where the ways to them pass nearer to what stands beside it.
#include <algorithm>
#include <cmath>
#include <map>

#include "scene/basics/parallel.hpp"
#include "scene/sight/scatter.hpp"
#include "scene/sight/sight.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {
namespace {

constexpr int rim_points = 32, cells = 32;

/// The target's points that are in frame, in the camera's frame: its corners and one in each of cells × cells.
std::vector<Vector3d> points_in_frame(const Camera& camera, const Pose& target_in_camera,
                                      const std::array<double, 2>& size) {
  std::vector<Vector2d> shares{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}};
  for (int row = 0; row < cells; ++row)
    for (int column = 0; column < cells; ++column) {
      const Vector2d off = scattered(column, row);
      shares.emplace_back((column + off.x()) / cells - 0.5, (row + off.y()) / cells - 0.5);
    }
  std::vector<Vector3d> points;
  for (const Vector2d& share : shares) {
    const Vector3d point = target_in_camera * Vector3d(share.x() * size[0], share.y() * size[1], 0);
    const auto pixel = project(camera, point);
    if (pixel && in_picture(camera, *pixel) && point.z() > camera.front) points.push_back(point);
  }
  return points;
}

/// The bodies that block the ways from a point of the rim, none for a clear one.
std::vector<BodyId> blockers_from(const Vector3d& rim_point, const std::vector<Vector3d>& points, const Sight& sight) {
  std::vector<Ray> rays;
  for (const Vector3d& point : points) {
    Ray ray{.origin = rim_point, .direction = point - rim_point};
    ray.far = std::max(0.0, 1 - block_tolerance / ray.direction.norm());
    rays.push_back(ray);
  }
  std::vector<Hit> hits(rays.size());
  sight.first_hits(rays, hits);
  std::vector<BodyId> blockers;
  for (std::size_t i = 0; i < hits.size(); ++i)
    blockers.push_back(hits[i].along < rays[i].far ? sight.body_of(hits[i]) : BodyId{});
  return blockers;
}

RimView rim_view(const std::vector<std::vector<BodyId>>& blockers_by_rim_point) {
  std::map<BodyId, long> ways_of;  // none: the clear ones
  for (const auto& blockers : blockers_by_rim_point)
    for (const BodyId body : blockers) ++ways_of[body];
  long ways = 0;
  for (const auto& [body, count] : ways_of) ways += count;
  RimView view;
  view.blocked = static_cast<double>(ways - ways_of[-1]) / static_cast<double>(ways);
  for (const auto& [body, count] : ways_of)
    if (body) view.blocked_by.push_back({body, static_cast<double>(count) / static_cast<double>(ways)});
  std::ranges::stable_sort(view.blocked_by, std::greater{}, &BlockedShare::share);
  return view;
}

}  // namespace

std::string_view rim_word(const RimView& view) {
  if (view.blocked == 0) return "clear";
  return view.blocked < 1 ? "partly blocked" : "fully blocked";
}

std::vector<std::optional<RimView>> measure_rims(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell[request.camera];
  std::vector<std::optional<RimView>> views(request.targets.size());
  if (!(camera.lens_radius > 0)) return views;
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  const Sight sight = sight_of_camera(scene, at, camera);
  for (std::size_t i = 0; i < views.size(); ++i) {
    const Target& target = scene.cell[request.targets[i]];
    const auto points = points_in_frame(camera, world_in_camera * pose_in_world(scene, at, target.placed), target.size);
    if (points.empty()) continue;
    std::vector<std::vector<BodyId>> blockers(rim_points);
    parallel_for(rim_points, request.threads, request.stop, [&](std::size_t k) {
      const double angle = 2 * pi * static_cast<double>(k) / rim_points;
      blockers[k] = blockers_from(
          Vector3d(camera.lens_radius * std::cos(angle), camera.lens_radius * std::sin(angle), camera.front), points,
          sight);
    });
    if (!request.stop.stop_requested()) views[i] = rim_view(blockers);
  }
  return views;
}

}  // namespace cellproof
