// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/moment_pictures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "checks/instant.hpp"
#include "viewer/pictures/clear_view.hpp"
#include "viewer/pictures/parallel_eye.hpp"

namespace cellproof {

namespace {

std::string pair_words(const ClearanceFigure& pair) {
  const std::string names = fmt::format("{} / {}", pair.between[0], pair.between[1]);
  return pair.upper_mm == 0 ? names + ": touch" : fmt::format("{}: {:.1f} mm", names, pair.lower_mm);
}

constexpr double touching_mm = 1e-3;

/// Directions across a line, a sixteenth of a turn apart; all about and from above where there is no line.
std::vector<Vector3d> directions_to_try(const Vector3d& line) {
  constexpr int around = 16;
  std::vector<Vector3d> directions;
  const auto turned = [](int i, const Vector3d& one, const Vector3d& other) -> Vector3d {
    return std::cos(2 * pi * i / around) * one + std::sin(2 * pi * i / around) * other;
  };
  if (line.norm() >= touching_mm) {
    const Vector3d one = line.unitOrthogonal(), other = line.cross(one).normalized();
    for (int i = 0; i < around; ++i) directions.push_back(turned(i, one, other));
    return directions;
  }
  directions.push_back(direction_from(Side::quarter).normalized());
  for (const double down : {0.25, 0.55, 0.95})
    for (int i = 0; i < around; ++i)
      directions.push_back(std::cos(down) * turned(i, Vector3d::UnitX(), Vector3d::UnitY()) -
                           std::sin(down) * Vector3d::UnitZ());
  return directions;
}

struct ClearLook {
  Vector3d direction;
  std::vector<BodyId> before;  ///< bodies in the way, none of those looked at
};

/// What is looked at: a place, how much about it is shown, and whose it is.
struct Subject {
  Vector3d place = Vector3d::Zero();
  double size_mm = 0;
  Wanted of_it, drawn;
};

/// Which share of the lines of sight to a ring about the place other bodies stand in.
double shut_share(const Scene& scene, const Instant& at, const Subject& subject, const Vector3d& direction,
                  double distance_mm) {
  constexpr int around = 8;
  constexpr double ring = 0.3;  // of the size shown
  const Vector3d one = direction.unitOrthogonal(), other = direction.cross(one);
  const auto not_of_it = [&](BodyId body) { return subject.drawn(body) && !subject.of_it(body); };
  int shut = 0;
  for (int i = 0; i < around; ++i) {
    const double angle = 2 * pi * i / around;
    const Vector3d point = subject.place + ring * subject.size_mm * (std::cos(angle) * one + std::sin(angle) * other);
    const LookLine line{point - distance_mm * direction, distance_mm * direction};
    shut += first_met(scene, at, line, not_of_it, 0.97) ? 1 : 0;
  }
  return static_cast<double>(shut) / around;
}

/// From where nothing of what is looked at hides the place, and then as little else as can be stands before it and
/// about it; of equals from above and near to the view of the whole.
ClearLook clearest_look(const Scene& scene, const Instant& at, const Subject& subject,
                        const std::vector<Vector3d>& directions) {
  constexpr double distance_mm = 5000, own_body = 10, another = 2, about_it = 4, from_below = 1.5;
  const Vector3d preferred = direction_from(Side::quarter).normalized();
  ClearLook best;
  double least = std::numeric_limits<double>::infinity();
  for (const Vector3d& direction : directions) {
    std::vector<BodyId> before =
        bodies_before(scene, at, subject.place - distance_mm * direction, subject.place, subject.drawn, 0.01);
    const auto own = std::erase_if(before, subject.of_it);
    const double badness = own_body * static_cast<double>(own) + another * static_cast<double>(before.size()) +
                           about_it * shut_share(scene, at, subject, direction, distance_mm) +
                           from_below * std::max(0.0, direction.z()) - direction.dot(preferred);
    if (badness >= least) continue;
    least = badness;
    best = {direction, std::move(before)};
  }
  return best;
}

void take_look(const Scene& scene, const ClearLook& look, StillRequest& still) {
  still.direction = look.direction;
  std::string left_out;
  for (const BodyId body : look.before) {
    const std::string& name = scene.bodies[body].name;
    if (std::ranges::count(still.hidden, name) > 0) continue;
    still.hidden.push_back(name);
    left_out += (left_out.empty() ? "; left out: " : ", ") + name;
  }
  still.detail += left_out;
}

bool of_one_colour(const Scene& scene, const ClearanceFigure& pair) {
  const BodyId a = id_named(scene.bodies, pair.between[0]), b = id_named(scene.bodies, pair.between[1]);
  return a && b && scene.bodies[a].kind == scene.bodies[b].kind;
}

double size_about(const ClearanceFigure& pair) {
  return 2 * std::clamp(3 * (pair.points[1] - pair.points[0]).norm(), 60.0, 300.0);
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
  if (!one || !other || !moment.at.present[one] || !moment.at.present[other]) return std::nullopt;
  const SceneBody &body_a = scene.bodies[one], &body_b = scene.bodies[other];
  const Solid &solid_a = *body_a.solid, &solid_b = *body_b.solid;
  const Nearest gap = nearest(solid_a, moment.at.pose_of(body_a), solid_b, moment.at.pose_of(body_b),
                              std::numeric_limits<double>::infinity());
  const Deviation &stray_a = solid_a.mesh().deviation, &stray_b = solid_b.mesh().deviation;
  ClearanceFigure figure;
  figure.lower_mm = std::max(0.0, gap.distance - stray_a.outside - stray_b.outside);
  figure.upper_mm = gap.distance == 0 ? 0 : gap.distance + stray_a.inside + stray_b.inside;
  figure.between = {a, b};
  figure.time_s = moment.time_s;
  figure.points = {gap.point_a, gap.point_b};
  return figure;
}

StillRequest close_up_of(const Scene& scene, const Cycle& cycle, const Moment& moment, const ClearanceFigure& pair) {
  StillRequest request = still_of(scene, cycle, moment);
  const Vector3d middle = (pair.points[0] + pair.points[1]) / 2;
  const auto of_pair = [&](BodyId body) { return std::ranges::count(pair.between, scene.bodies[body].name) > 0; };
  const Vector3d half = Vector3d::Constant(size_about(pair) / 2);
  request.shown = Box{middle - half, middle + half};
  request.pairs.push_back({pair.points, pair_words(pair)});
  request.named.assign(pair.between.begin(), pair.between.end());
  request.solid = request.named;
  if (of_one_colour(scene, pair)) request.highlighted = {pair.between[0]};
  take_look(scene,
            clearest_look(scene, moment.at, {middle, size_about(pair), of_pair, [](BodyId) { return true; }},
                          directions_to_try(pair.points[1] - pair.points[0])),
            request);
  return request;
}

void look_from_free_side(const Scene& scene, const Moment& moment, StillRequest& still) {
  const auto among = [&](const std::vector<std::string>& names, BodyId body) {
    return std::ranges::count(names, scene.bodies[body].name) > 0;
  };
  const Subject subject{still.near->point, still.near->size_mm, [&](BodyId body) { return among(still.named, body); },
                        [&](BodyId body) { return !among(still.hidden, body); }};
  take_look(scene, clearest_look(scene, moment.at, subject, directions_to_try(Vector3d::Zero())), still);
}

std::vector<TargetId> targets_at(const Scene& scene, const Moment& moment, const std::string& camera) {
  const LookStep* look = nullptr;
  if (moment.stretch) look = std::get_if<LookStep>(&scene.cell.cycle->steps[moment.stretch->step_index].action);
  std::vector<TargetId> targets;
  for (const TargetId i : ids_of(scene.cell.targets))
    if (!look || look->camera != camera || std::ranges::count(look->targets, scene.cell.targets[i].name) > 0)
      targets.push_back(i);
  return targets;
}

CameraPictureRequest camera_picture_of(const Scene& scene, const Cycle& cycle, const Moment& moment, CameraId camera) {
  const std::string& name = scene.cell.cameras[camera].name;
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
