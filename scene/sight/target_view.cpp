// SPDX-License-Identifier: GPL-3.0-or-later
// What of each target a camera sees: shares of area by samples on the target's plane, finest where the answer changes.
#include <algorithm>
#include <cmath>

#include "scene/basics/parallel.hpp"
#include "scene/sight/scatter.hpp"
#include "scene/sight/sight.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {
namespace {

/// Cells along each side of a target, and how many parts a cell is cut into where the answer changes.
constexpr int fewest_cells = 128, most_cells = 512, fine = 8;

/// A target as its camera meets it.
struct Patch {
  const Camera& camera;
  const Sight& sight;
  Pose in_camera;
  double width, height;

  Vector3d point(double x, double y) const { return in_camera * Vector3d(x * width, y * height, 0); }
  std::array<Vector3d, 4> corners() const {
    return {point(-0.5, -0.5), point(0.5, -0.5), point(0.5, 0.5), point(-0.5, 0.5)};
  }
};

/// What a sample of the target meets: `blocked` by a body, or hidden before the front element.
struct Answer {
  enum { out_of_frame, too_near, clear, blocked } what = out_of_frame;
  BodyId by;
  friend bool operator==(const Answer&, const Answer&) = default;
};

/// Answers for samples given in shares of the target's sides, from -0.5 to 0.5.
std::vector<Answer> answers(const Patch& patch, const std::vector<Vector2d>& samples) {
  std::vector<Answer> answer(samples.size());
  std::vector<Ray> rays;
  std::vector<std::size_t> sample_of_ray;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const Vector3d point = patch.point(samples[i].x(), samples[i].y());
    const auto pixel = project(patch.camera, point);
    if (!pixel || !in_picture(patch.camera, *pixel)) continue;
    answer[i].what = point.z() > patch.camera.front ? Answer::clear : Answer::too_near;
    Ray ray{.origin = Vector3d::Zero(), .direction = point};
    ray.near = patch.camera.front / point.z();
    ray.far = 1 - block_tolerance / point.norm();
    if (answer[i].what == Answer::too_near || !(ray.near < ray.far)) continue;
    rays.push_back(ray);
    sample_of_ray.push_back(i);
  }
  std::vector<Hit> hits(rays.size());
  patch.sight.first_hits(rays, hits);
  for (std::size_t i = 0; i < hits.size(); ++i)
    if (hits[i].body && hits[i].along < rays[i].far)
      answer[sample_of_ray[i]] = {Answer::blocked, patch.sight.body_of(hits[i])};
  return answer;
}

/// A lattice of cells over the target, one sample somewhere in each.
struct Lattice {
  int columns, rows;
  /// A place in the cell, in shares of the target's sides.
  Vector2d sample(int column, int row) const {
    const Vector2d off = scattered(column, row);
    return {(column + off.x()) / columns - 0.5, (row + off.y()) / rows - 0.5};
  }
};

/// About a cell a pixel: the longest of each pair of sides in the picture.
Lattice lattice_for(const Patch& patch) {
  std::array<std::optional<Vector2d>, 4> pixel;
  const auto corners = patch.corners();
  for (std::size_t i = 0; i < 4; ++i) pixel[i] = project(patch.camera, corners[i]);
  const auto cells = [&](std::array<std::size_t, 4> sides) {
    double longest = 0;
    for (std::size_t i = 0; i < 4; i += 2) {
      const auto& a = pixel[sides[i]];
      const auto& b = pixel[sides[i + 1]];
      longest = std::max(longest, a && b ? (*a - *b).norm() : most_cells);
    }
    return static_cast<int>(std::clamp<double>(std::ceil(longest), fewest_cells, most_cells));
  };
  return {cells({0, 1, 3, 2}), cells({0, 3, 1, 2})};
}

/// True where a cell's sample and one of its eight neighbours' differ, and all along the target's rim, where a strip
/// narrower than a cell could slip between the samples.
bool needs_care(const Raster<Answer>& coarse, int column, int row) {
  if (column == 0 || row == 0 || column == coarse.columns() - 1 || row == coarse.rows() - 1) return true;
  const Answer own = coarse.at(column, row);
  for (int down = -1; down <= 1; ++down)
    for (int right = -1; right <= 1; ++right)
      if (coarse.at(column + right, row + down) != own) return true;
  return false;
}

/// How many of `whole` equal parts of the target's area got each answer.
struct Tally {
  std::vector<std::pair<Answer, long>> parts;
  void add(Answer answer, long count) {
    const auto known = std::ranges::find(parts, answer, &std::pair<Answer, long>::first);
    if (known == parts.end())
      parts.emplace_back(answer, count);
    else
      known->second += count;
  }
};

/// The answers of one row of cells; cells that need care are cut into fine × fine.
Tally tally_row(const Patch& patch, const Raster<Answer>& coarse, int row) {
  const Lattice finer{coarse.columns() * fine, coarse.rows() * fine};
  Tally tally;
  std::vector<Vector2d> samples;
  for (int column = 0; column < coarse.columns(); ++column) {
    if (!needs_care(coarse, column, row)) {
      tally.add(coarse.at(column, row), fine * fine);
      continue;
    }
    for (int down = 0; down < fine; ++down)
      for (int right = 0; right < fine; ++right)
        samples.push_back(finer.sample(column * fine + right, row * fine + down));
  }
  for (const Answer& answer : answers(patch, samples)) tally.add(answer, 1);
  return tally;
}

Tally tally_target(const Patch& patch, const Lattice& lattice, const ViewRequest& request) {
  Raster<Answer> coarse(lattice.columns, lattice.rows);
  parallel_rows(lattice.rows, request.threads, request.stop, [&](int row) {
    std::vector<Vector2d> samples;
    for (int column = 0; column < lattice.columns; ++column) samples.push_back(lattice.sample(column, row));
    std::ranges::copy(answers(patch, samples), coarse.row_begin(row));
  });
  Raster<Tally> by_row(1, lattice.rows);
  parallel_rows(lattice.rows, request.threads, request.stop,
                [&](int row) { by_row.at(0, row) = tally_row(patch, coarse, row); });
  Tally whole;
  for (const Tally& row : by_row)
    for (const auto& [answer, count] : row.parts) whole.add(answer, count);
  return whole;
}

void take_shares(const Patch& patch, const ViewRequest& request, TargetView& view) {
  const Lattice lattice = lattice_for(patch);
  const Tally tally = tally_target(patch, lattice, request);
  const double whole = 1.0 * lattice.columns * lattice.rows * fine * fine;
  const Vector3d camera_in_target = patch.in_camera.inverse().translation();
  view.in_frame = view.visible = 0;
  long in_frame = 0;
  for (const auto& [answer, count] : tally.parts) {
    if (answer.what != Answer::out_of_frame) in_frame += count;
    if (answer.what == Answer::clear && camera_in_target.z() > 0) view.visible = static_cast<double>(count) / whole;
    if (answer.by) view.blocked_by.push_back({answer.by, static_cast<double>(count) / whole});
  }
  view.in_frame = static_cast<double>(in_frame) / whole;
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

std::vector<TargetView> measure_targets(const Scene& scene, const ViewRequest& request) {
  const Camera& camera = scene.cell[request.camera];
  const Instant at = instant(scene, request.arrangement, request.joints);
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  const Sight sight = sight_of_camera(scene, at, camera);
  std::vector<TargetView> views;
  for (const TargetId number : request.targets) {
    const Target& target = scene.cell[number];
    const Patch patch{camera, sight, world_in_camera * pose_in_world(scene, at, target.placed), target.size[0],
                      target.size[1]};
    const Vector3d to_camera = patch.in_camera.inverse().translation();
    TargetView view;
    view.target = number;
    take_shares(patch, request, view);
    view.in_range = share_between(patch.corners(), camera.near_mm, camera.far_mm);
    view.facing = std::atan2(to_camera.head<2>().norm(), to_camera.z());
    view.mm_per_pixel = coarsest_mm_per_pixel(patch);
    view.in_focus = in_focus(patch);
    views.push_back(std::move(view));
  }
  return views;
}

}  // namespace cellproof
