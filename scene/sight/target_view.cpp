// SPDX-License-Identifier: GPL-3.0-or-later
// What of each target a camera sees: shares of area on the target's plane, measured by lines across it.
#include <algorithm>
#include <cmath>

#include "scene/basics/parallel.hpp"
#include "scene/sight/frame_parts.hpp"
#include "scene/sight/scan_lines.hpp"
#include "scene/sight/sight.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {
namespace {

/// A target as its camera meets it.
struct Patch {
  const Camera& camera;
  Pose in_camera;
  double width, height;

  Window window() const {
    return {width * in_camera.linear().col(0), height * in_camera.linear().col(1), in_camera.translation()};
  }
  std::array<Vector3d, 4> corners() const {
    const Window own = window();
    return {own.point(-0.5, -0.5), own.point(0.5, -0.5), own.point(0.5, 0.5), own.point(-0.5, 0.5)};
  }
  double furthest() const {
    double most = 0;
    for (const Vector3d& corner : corners()) most = std::max(most, corner.norm());
    return most;
  }
};

/// Gaps between shadows no wider than this are rounding, in shares of the target's sides.
constexpr double seam = 1e-10;

/// A line across the target in the camera's frame.
struct PatchLine {
  LineInCamera in_camera;  ///< its whole length
  double length;           ///< as the ScanLine's
  Vector3d at(double s) const { return in_camera.at(s / length); }
};

PatchLine patch_line(const Patch& patch, const ScanLine& line) {
  const Window window = patch.window();
  const Vector3d way = line.along.x() * window.across + line.along.y() * window.down;
  return {{window.point(line.start.x(), line.start.y()), line.length * way}, line.length};
}

/// The nearness (see Shadow) from which on a cover blocks a place of the target.
double nearness_that_blocks(const Vector3d& place) {
  const double way = place.norm();
  return way > block_tolerance ? way / (way - block_tolerance) : std::numeric_limits<double>::infinity();
}

/// Adds the parts of a cover that stand before the target by more than the tolerance. That is a curve over the line,
/// followed by chords.
void add_blocking(const Cover& cover, const PatchLine& line, std::vector<Cover>& blocking) {
  constexpr int chords = 64;
  const double step = line.length / chords;
  const auto nearness = [&](double s) {
    return cover.near_from + (cover.near_to - cover.near_from) * ((s - cover.from) / (cover.to - cover.from));
  };
  double from = cover.from;
  double over_from = cover.near_from - nearness_that_blocks(line.at(from));
  while (from < cover.to) {
    const double to = std::min(cover.to, (std::floor(from / step + 1e-9) + 1) * step);
    const double over_to = nearness(to) - nearness_that_blocks(line.at(to));
    double low = from, high = to;
    if (over_from <= 0 && over_to > 0) low = from + (to - from) * (over_from / (over_from - over_to));
    if (over_from > 0 && over_to <= 0) high = from + (to - from) * (over_from / (over_from - over_to));
    if ((over_from > 0 || over_to > 0) && low < high)
      blocking.push_back({low, high, nearness(low), nearness(high), cover.body});
    from = to;
    over_from = over_to;
  }
}

/// The covers that block, where they do.
std::vector<Cover> blocking_parts(const std::vector<Cover>& covers, const PatchLine& line) {
  const double surely = nearness_that_blocks(nearest_to_origin(line.in_camera));
  std::vector<Cover> blocking;
  for (const Cover& cover : covers)
    if (std::min(cover.near_from, cover.near_to) > surely)
      blocking.push_back(cover);
    else
      add_blocking(cover, line, blocking);
  return blocking;
}

/// Areas of the target, in shares of it.
struct Areas {
  double all = 0, in_frame = 0, clear = 0;
  std::vector<std::pair<BodyId, double>> blocked;  ///< by body, each once

  void block(BodyId body, double area) {
    const auto known = std::ranges::find(blocked, body, &std::pair<BodyId, double>::first);
    if (known == blocked.end())
      blocked.emplace_back(body, area);
    else
      known->second += area;
  }
  void add(const Areas& other, double times) {
    all += times * other.all;
    in_frame += times * other.in_frame;
    clear += times * other.clear;
    for (const auto& [body, area] : other.blocked) block(body, times * area);
  }
};

/// The part of [from, to] that is ahead of the front element.
std::pair<double, double> ahead_of_front(const PatchLine& line, double front, std::pair<double, double> part) {
  const double from = line.at(part.first).z() - front, to = line.at(part.second).z() - front;
  const double passes = part.first + (part.second - part.first) * (from / (from - to));
  if (from <= 0 && to <= 0) return {part.second, part.second};
  return {from <= 0 ? passes : part.first, to <= 0 ? passes : part.second};
}

/// Lengths along one line.
Areas along_line(const Patch& patch, const PatchLine& line, const std::vector<Cover>& covers) {
  Areas lengths;
  lengths.all = line.length;
  const auto tops = nearest_on_line(blocking_parts(covers, line), seam);
  for (const auto& [share_from, share_to] : parts_in_picture(patch.camera, line.in_camera)) {
    lengths.in_frame += line.length * (share_to - share_from);
    const auto [from, to] =
        ahead_of_front(line, patch.camera.front, {line.length * share_from, line.length * share_to});
    for_each_met(tops, from, to, [&](double begin, double end, BodyId body) {
      if (body)
        lengths.block(body, end - begin);
      else if (end - begin > seam)
        lengths.clear += end - begin;
    });
  }
  return lengths;
}

/// The picture's edge on the target's plane, as far as it can be seen there.
std::vector<Edge> picture_edges(const Patch& patch) {
  const Camera& camera = patch.camera;
  const double right = camera.width - 0.5, bottom = camera.height - 0.5, x = camera.cx, y = camera.cy;
  const std::array<Vector2d, 9> pixels{Vector2d(-0.5, -0.5), {x, -0.5},       {right, -0.5},
                                       {right, y},           {right, bottom}, {x, bottom},
                                       {-0.5, bottom},       {-0.5, y},       {-0.5, -0.5}};
  const Window window = patch.window();
  Eigen::Matrix3d from;
  from << window.across, window.down, window.centre;
  const Eigen::PartialPivLU<Eigen::Matrix3d> onto(from);
  std::vector<Edge> edges;
  for (std::size_t i = 0; i + 1 < pixels.size(); ++i) {
    const Vector3d a = onto.solve(ray_towards(camera, pixels[i])), b = onto.solve(ray_towards(camera, pixels[i + 1]));
    if (a.z() > 0 && b.z() > 0) edges.emplace_back(a.head<2>() / a.z(), b.head<2>() / b.z());
  }
  return edges;
}

/// Sums of the same lengths in another order are the same but for rounding.
double share_of(double part, double whole) {
  constexpr double rounding = 1e-12;
  const double share = part / whole;
  return share > 1 - rounding ? 1 : share;
}

/// Where no line meets anything, something small may lie between them: it counts with all of its area, so that a target
/// is only seen whole where nothing at all is in the way.
void block_between_lines(const Patch& patch, const std::vector<Shadow>& cast, Areas& areas) {
  if (share_of(areas.clear, areas.all) < 1) return;
  const Window window = patch.window();
  const double plane = std::abs(window.across.cross(window.down).normalized().dot(window.centre));
  const double surely = nearness_that_blocks(Vector3d(0, 0, plane));
  for (const Shadow& shadow : cast) {
    const auto end = shadow.corner.begin() + shadow.corners;
    const bool blocks = std::any_of(shadow.corner.begin(), end, [&](const Vector3d& c) { return c.z() > surely; });
    const double area = blocks ? std::min(area_in_window(shadow) * areas.all, areas.clear) : 0;
    if (!(area > 0)) continue;
    areas.block(shadow.body, area);
    areas.clear -= area;
  }
}

Areas measure_areas(const Patch& patch, const std::vector<PlacedSolid>& bodies, const ViewRequest& request) {
  const double within = 1 - block_tolerance / std::max(patch.furthest(), block_tolerance);
  const auto cast = shadows(bodies, {patch.window(), patch.camera.front, within});
  const auto lines = scan_lines(cast, picture_edges(patch));
  const LineCovers covers(cast, lines);
  std::vector<Areas> by_line(lines.size());
  parallel_for(lines.size(), request.threads, request.stop,
               [&](std::size_t i) { by_line[i] = along_line(patch, patch_line(patch, lines[i]), covers.over(i)); });
  Areas areas;
  for (std::size_t i = 0; i < lines.size(); ++i) areas.add(by_line[i], lines[i].breadth);
  block_between_lines(patch, cast, areas);
  return areas;
}

void take_shares(const Patch& patch, const std::vector<PlacedSolid>& bodies, const ViewRequest& request,
                 TargetView& view) {
  const Areas areas = measure_areas(patch, bodies, request);
  const Vector3d camera_in_target = patch.in_camera.inverse().translation();
  view.in_frame = share_of(areas.in_frame, areas.all);
  const bool seen = camera_in_target.z() > 0 && !edge_on(patch.window());
  view.visible = seen ? share_of(areas.clear, areas.all) : 0;
  for (const auto& [body, area] : areas.blocked) view.blocked_by.push_back({body, share_of(area, areas.all)});
  std::ranges::sort(view.blocked_by, {}, &BlockedShare::body);
  std::ranges::stable_sort(view.blocked_by, std::greater{}, &BlockedShare::share);
}

/// Share of a convex quad's area with low <= z <= high: cut by both planes (Sutherland, Hodgman, 1974).
double share_between(const std::array<Vector3d, 4>& corners, double low, double high) {
  const auto cut = [](const std::vector<Vector3d>& polygon, double sign, double limit) {
    std::vector<Vector3d> kept;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Vector3d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
      const double inside_a = sign * (a.z() - limit), inside_b = sign * (b.z() - limit);
      if (inside_a >= 0) kept.push_back(a);
      if ((inside_a >= 0) != (inside_b >= 0)) kept.push_back(a + (b - a) * (inside_a / (inside_a - inside_b)));
    }
    return kept;
  };
  const auto area = [](const std::vector<Vector3d>& polygon) {
    Vector3d doubled = Vector3d::Zero();
    for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
      doubled += (polygon[i] - polygon[0]).cross(polygon[i + 1] - polygon[0]);
    return doubled.norm() / 2;
  };
  const std::vector<Vector3d> quad(corners.begin(), corners.end());
  const auto within = [&](const Vector3d& corner) { return corner.z() >= low && corner.z() <= high; };
  if (std::ranges::all_of(quad, within)) return 1;
  return std::min(1.0, area(cut(cut(quad, 1, low), -1, high)) / area(quad));
}

/// Millimetres a pixel along the plane's worst direction: the least singular value of d pixel / d plane, inverted.
double coarsest_mm_per_pixel(const Patch& patch) {
  const auto by_point = projection_derivative(patch.camera, patch.in_camera.translation());
  if (!by_point) return std::numeric_limits<double>::quiet_NaN();
  const Eigen::Matrix2d by_plane = *by_point * patch.in_camera.linear().leftCols<2>();
  const Eigen::Vector2d singular = by_plane.jacobiSvd().singularValues();
  if (singular[1] <= 1e-12 * singular[0]) return std::numeric_limits<double>::infinity();
  return 1 / singular[1];
}

std::optional<bool> in_focus(const Patch& patch) {
  const auto depth = depth_of_field(patch.camera);
  if (!depth) return std::nullopt;
  return std::ranges::all_of(patch.corners(), [&](const Vector3d& corner) {
    return corner.z() >= depth->near_mm && corner.z() <= depth->far_mm;
  });
}

}  // namespace

bool sees_enough(const TargetView& view, double asked) {
  return asked <= 0 || view.visible >= std::min(1.0, asked + share_tolerance);
}

std::vector<TargetView> measure_targets(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell.cameras[request.camera];
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  const auto bodies = bodies_before(scene, at, camera);
  std::vector<TargetView> views;
  for (const TargetId number : request.targets) {
    const Target& target = scene.cell.targets[number];
    const Patch patch{camera, world_in_camera * pose_in_world(scene, at, target.placed), target.size[0],
                      target.size[1]};
    const Vector3d to_camera = patch.in_camera.inverse().translation();
    TargetView view;
    view.target = number;
    take_shares(patch, bodies, request, view);
    view.in_range = share_between(patch.corners(), camera.near_mm, camera.far_mm);
    view.facing = std::atan2(to_camera.head<2>().norm(), to_camera.z());
    view.mm_per_pixel = coarsest_mm_per_pixel(patch);
    view.in_focus = in_focus(patch);
    views.push_back(std::move(view));
  }
  return views;
}

}  // namespace cellproof
