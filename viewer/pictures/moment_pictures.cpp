// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/moment_pictures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "checks/instant.hpp"
#include "scene/basics/named_entry.hpp"
#include "viewer/pictures/clear_view.hpp"
#include "viewer/pictures/parallel_eye.hpp"

namespace cellproof {

namespace {

std::string pair_words(const ClearanceFigure& pair) {
  const std::string names = fmt::format("{} / {}", pair.between[0], pair.between[1]);
  return pair.upper_mm == 0 ? names + ": touch" : fmt::format("{}: {:.1f} mm", names, pair.lower_mm);
}

/// Directions across a line, a sixteenth of a turn apart.
std::vector<Vector3d> directions_across(const Vector3d& line) {
  constexpr int around = 16;
  const Vector3d one = line.unitOrthogonal(), other = line.cross(one).normalized();
  std::vector<Vector3d> directions;
  for (int i = 0; i < around; ++i)
    directions.push_back(std::cos(2 * pi * i / around) * one + std::sin(2 * pi * i / around) * other);
  return directions;
}

struct ClearLook {
  Vector3d direction;
  std::vector<BodyId> before;  ///< bodies in the way, none of the pair
};

/// Across the pair's line, so that neither of the two hides the gap; among such from where little else is in the way,
/// and near to the view of the whole.
ClearLook look_across(const Scene& scene, const Moment& moment, const ClearanceFigure& pair) {
  constexpr double distance_mm = 3000, touching_mm = 1e-3, own_body = 10, off_the_quarter = 3;
  const Vector3d preferred = direction_from(Side::quarter), way = pair.points[1] - pair.points[0];
  const Vector3d middle = (pair.points[0] + pair.points[1]) / 2;
  const auto of_pair = [&](BodyId body) { return std::ranges::count(pair.between, scene[body].name) > 0; };
  const auto any = [](BodyId) { return true; };
  ClearLook best;
  double least = std::numeric_limits<double>::infinity();
  for (const Vector3d& direction :
       way.norm() < touching_mm ? std::vector<Vector3d>{preferred} : directions_across(way)) {
    std::vector<BodyId> before = bodies_before(scene, moment.at, middle - distance_mm * direction, middle, any, 0.01);
    const auto own = std::erase_if(before, of_pair);
    const double badness = own_body * static_cast<double>(own) + static_cast<double>(before.size()) -
                           off_the_quarter * direction.dot(preferred);
    if (badness >= least) continue;
    least = badness;
    best = {direction, std::move(before)};
  }
  return best;
}

bool of_one_colour(const Scene& scene, const ClearanceFigure& pair) {
  const BodyId a = id_named(scene.bodies, pair.between[0]), b = id_named(scene.bodies, pair.between[1]);
  return a && b && scene[a].kind == scene[b].kind;
}

Box box_about(const ClearanceFigure& pair) {
  const Vector3d middle = (pair.points[0] + pair.points[1]) / 2;
  const double half = std::clamp(3 * (pair.points[1] - pair.points[0]).norm(), 60.0, 300.0);
  return {middle - Vector3d::Constant(half), middle + Vector3d::Constant(half)};
}

}  // namespace

StillRequest still_of(const Scene& scene, const Cycle& cycle, const Moment& moment) {
  StillRequest request;
  request.arrangement = moment.arrangement;
  request.joints = moment.joints;
  request.title = scene.cell.name;
  request.detail = moment_words(cycle, moment);
  return request;
}

void mark_nearest(const Scene& scene, const Moment& moment, StillRequest& still) {
  if (!moment.stretch) return;
  if (const auto gap = instant_clearance(scene, *moment.stretch, moment.time_s); gap && gap->points[0].allFinite())
    still.pairs.push_back({gap->points, pair_words(*gap)});
}

std::optional<ClearanceFigure> gap_between(const Scene& scene, const Moment& moment, const std::string& a,
                                           const std::string& b) {
  const BodyId one = id_named(scene.bodies, a), other = id_named(scene.bodies, b);
  if (!one || !other) return std::nullopt;
  if (!moment.at.present[one] || !moment.at.present[other]) return std::nullopt;
  const auto in_world = [&](BodyId body) { return moment.at.frame_in_world[scene[body].frame]; };
  const Nearest gap = nearest(*scene[one].solid, in_world(one), *scene[other].solid, in_world(other),
                              std::numeric_limits<double>::infinity());
  ClearanceFigure figure;
  figure.lower_mm = figure.upper_mm = gap.distance;
  figure.between = {a, b};
  figure.time_s = moment.time_s;
  figure.points = {gap.point_a, gap.point_b};
  return figure;
}

StillRequest close_up_of(const Scene& scene, const Cycle& cycle, const Moment& moment, const ClearanceFigure& pair) {
  StillRequest request = still_of(scene, cycle, moment);
  const ClearLook look = look_across(scene, moment, pair);
  request.direction = look.direction;
  request.shown = box_about(pair);
  request.pairs.push_back({pair.points, pair_words(pair)});
  request.named.assign(pair.between.begin(), pair.between.end());
  request.solid = request.named;
  if (of_one_colour(scene, pair)) request.highlighted = {pair.between[0]};
  std::string left_out;
  for (const BodyId body : look.before) {
    const std::string& name = scene[body].name;
    request.hidden.push_back(name);
    left_out += (left_out.empty() ? "; left out: " : ", ") + name;
  }
  request.detail += left_out;
  return request;
}

std::vector<TargetId> targets_at(const Scene& scene, const Moment& moment, const std::string& camera) {
  const LookStep* look = nullptr;
  if (moment.stretch) look = std::get_if<LookStep>(&scene.cell[moment.stretch->step_index].action);
  std::vector<TargetId> targets;
  for (const TargetId target : ids_of(scene.cell.targets))
    if (!look || look->camera != camera || std::ranges::count(look->targets, scene.cell[target].name) > 0)
      targets.push_back(target);
  return targets;
}

CameraPictureRequest camera_picture_of(const Scene& scene, const Cycle& cycle, const Moment& moment, CameraId camera) {
  const std::string& name = scene.cell[camera].name;
  CameraPictureRequest request;
  request.view.camera = camera;
  request.view.targets = targets_at(scene, moment, name);
  request.view.arrangement = moment.arrangement;
  request.view.joints = moment.joints;
  request.measured = measure_view(scene, request.view);
  request.title = fmt::format("{}: {}", scene.cell.name, name);
  request.detail = moment_words(cycle, moment);
  return request;
}

}  // namespace cellproof
