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

/// A straight way from the rim to a point of the target.
struct RayWay {
  Vector3d from, to;
};

/// The ways from one of `rim_points` equal arcs of the rim to what is in frame of the target: from somewhere on the arc
/// to somewhere in each of cells × cells, each way its own, so that no wire is between all of them; and from the arc's
/// beginning to the corners.
std::vector<RayWay> ways_from_arc(const Camera& camera, const Pose& target_in_camera, const std::array<double, 2>& size,
                                  int arc) {
  std::vector<RayWay> ways;
  const auto add = [&](double along_arc, double x, double y) {
    const Vector3d point = target_in_camera * Vector3d(x * size[0], y * size[1], 0);
    const auto pixel = project(camera, point);
    if (!pixel || !in_picture(camera, *pixel) || point.z() <= camera.front) return;
    const double angle = 2 * pi * (arc + along_arc) / rim_points;
    ways.push_back({{camera.lens_radius * std::cos(angle), camera.lens_radius * std::sin(angle), camera.front}, point});
  };
  for (const auto& [x, y] : {std::pair(-0.5, -0.5), std::pair(0.5, -0.5), std::pair(0.5, 0.5), std::pair(-0.5, 0.5)})
    add(0, x, y);
  for (int row = 0; row < cells; ++row)
    for (int column = 0; column < cells; ++column) {
      const auto number = static_cast<std::uint64_t>(column), line = static_cast<std::uint64_t>(arc * cells + row);
      const Vector2d off = scattered(number, line), along_arc = scattered(number + cells, line);
      add(along_arc.x(), (column + off.x()) / cells - 0.5, (row + off.y()) / cells - 0.5);
    }
  return ways;
}

/// The bodies that block the ways, none for a clear one.
std::vector<BodyId> blockers_of(const std::vector<RayWay>& ways, const Sight& sight) {
  std::vector<Ray> rays;
  for (const RayWay& way : ways) {
    Ray ray{.origin = way.from, .direction = way.to - way.from};
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

/// None without a way.
std::optional<RimView> rim_view(const std::vector<std::vector<BodyId>>& blockers_by_arc) {
  std::map<BodyId, long> ways_of;  // none: the clear ones
  for (const auto& blockers : blockers_by_arc)
    for (const BodyId body : blockers) ++ways_of[body];
  long ways = 0;
  for (const auto& [body, count] : ways_of) ways += count;
  if (ways == 0) return std::nullopt;
  RimView view;
  view.blocked = static_cast<double>(ways - ways_of[BodyId{}]) / static_cast<double>(ways);
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
  const Camera& camera = scene.cell.cameras[request.camera];
  std::vector<std::optional<RimView>> views(request.targets.size());
  if (!(camera.lens_radius > 0)) return views;
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  const Sight sight = sight_of_camera(scene, at, camera);
  for (std::size_t i = 0; i < views.size(); ++i) {
    const Target& target = scene.cell.targets[request.targets[i]];
    const Pose target_in_camera = world_in_camera * pose_in_world(scene, at, target.placed);
    std::vector<std::vector<BodyId>> blockers(rim_points);
    parallel_for(rim_points, request.threads, request.stop, [&](std::size_t arc) {
      blockers[arc] = blockers_of(ways_from_arc(camera, target_in_camera, target.size, static_cast<int>(arc)), sight);
    });
    if (!request.stop.stop_requested()) views[i] = rim_view(blockers);
  }
  return views;
}

}  // namespace cellproof
