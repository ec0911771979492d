// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/release_measure.hpp"

#include <algorithm>

#include "checks/part_meshes.hpp"
#include "checks/zone_covers.hpp"
#include "scene/cell/pair_friction.hpp"

namespace cellproof {

namespace {

constexpr double assumed_friction = 0.1;  // as wherever the file gives none

/// Bodies that a part can rest on.
std::vector<BodyId> others(const Scene& scene, const ReleaseMoment& moment) {
  std::vector<BodyId> bodies;
  for (const BodyId b : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[b];
    const bool itself = body.owner_part == moment.part && !body.copy_of_seat;
    const bool of_arm = body.kind == BodyKind::arm || body.kind == BodyKind::end_effector;
    if (moment.arrangement.present[b] && !itself && !of_arm) bodies.push_back(b);
  }
  return bodies;
}

bool may_touch(const Scene& scene, const PlacedMesh& a, const PlacedMesh& b, double depth_mm) {
  return box_distance(*scene.bodies[a.body].solid, a.pose, *scene.bodies[b.body].solid, b.pose) <= depth_mm;
}

/// Where the part can be pressed; who presses goes into the measure.
std::vector<PressingPoint> contacts_of(const Scene& scene, const Table<FrameId, Pose>& world,
                                       const std::vector<PlacedMesh>& part, const ReleaseMoment& moment,
                                       ReleaseMeasure& measure) {
  const double depth = seal_tolerance_mm(scene.cell.rules);
  std::vector<PressingPoint> points;
  for (const BodyId other : others(scene, moment)) {
    const PlacedMesh body = placed_body(scene, world, other);
    bool touches = false;
    for (const PlacedMesh& mine : part) {
      if (!may_touch(scene, mine, body, depth)) continue;
      const PressingContacts found = pressing_contacts(mine, body, depth);
      points.insert(points.end(), found.points.begin(), found.points.end());
      measure.resolution_mm = std::max(measure.resolution_mm, found.resolution_mm);
      touches = touches || !found.points.empty();
    }
    if (touches) measure.rests_on.push_back(other);
  }
  return points;
}

/// In world; nothing where neither file nor meshes tell it.
std::optional<Vector3d> centre_of(const Scene& scene, const BodyMasses& masses, const ReleaseMoment& moment,
                                  const std::vector<PlacedMesh>& part, const Pose& part_in_world) {
  if (const MassSum mass = part_mass(scene, masses, moment.arrangement, moment.part); mass.known())
    return part_in_world * mass.mass.com;
  double volume = 0;
  Vector3d first = Vector3d::Zero();
  for (const PlacedMesh& mesh : part) {
    if (!mesh.closed) return std::nullopt;
    const SolidProperties solid = solid_properties(*mesh.mesh);
    volume += solid.volume;
    first += solid.volume * (mesh.pose * solid.centroid);
  }
  if (!(volume > 0)) return std::nullopt;
  return first / volume;
}

std::optional<FacesGap> air_below(const Scene& scene, const Table<FrameId, Pose>& world,
                                  const std::vector<PlacedMesh>& part, const ReleaseMoment& moment) {
  constexpr double any_slope = 0.01;
  const Eigen::Matrix3d down = axes_along(-Vector3d::UnitZ());
  std::vector<PlacedMesh> below;
  for (const BodyId other : others(scene, moment)) below.push_back(placed_body(scene, world, other));
  return faces_air(facing_faces(part, down, Facing::along, any_slope),
                   facing_faces(below, down, Facing::against, any_slope));
}

bool stands_on_a_body(const Scene& scene, const Arrangement& arrangement, PartId part) {
  const auto up = [&](FrameId frame) { return arrangement.parent[frame]; };
  for (FrameId f = up(scene.frame_of(part)); f > world_frame; f = up(f))
    for (const SceneBody& body : scene.bodies)
      if (body.frame == f) return true;
  return false;
}

double size_of(const std::vector<PlacedMesh>& part) {
  Box box;
  for (const PlacedMesh& mesh : part)
    for (const Vector3d& vertex : mesh.mesh->vertices) box.add(mesh.pose * vertex);
  return (box.high - box.low).norm();
}

std::optional<double> stated_friction(const Scene& scene, const ReleaseMoment& moment, FrameId seat) {
  const std::string& part = scene.cell.parts[moment.part].name;
  for (const Hold& hold : scene.cell.holds)
    if (hold.part == part && true_seat(scene, moment.arrangement, scene.frame_named(hold.seat)) == seat)
      return friction_in(scene.cell, hold, part);
  return std::nullopt;
}

/// The first way that holds it well within the edge, else the first that holds it, else the one that comes nearest.
Support support_of(const std::vector<PressingPoint>& points, const Vector3d& centre, std::optional<double> friction,
                   double resolution_mm) {
  std::vector<Support> ways{{0, false, balance(points, centre, 0)}};
  const auto holds = [](const Support& way, double by_mm) { return way.balance.inside_mm > by_mm; };
  if (!holds(ways.back(), resolution_mm) && friction)
    ways.push_back({*friction, false, balance(points, centre, *friction)});
  if (!friction && !holds(ways.back(), 0))
    ways.push_back({assumed_friction, true, balance(points, centre, assumed_friction)});
  for (const double by_mm : {resolution_mm, 0.0})
    for (const Support& way : ways)
      if (holds(way, by_mm)) return way;
  return *std::ranges::max_element(ways, {}, [](const Support& way) {
    return way.balance.possible ? way.balance.inside_mm : -std::numeric_limits<double>::infinity();
  });
}

ReleaseMeasure measured(const Scene& scene, const BodyMasses& masses, const ReleaseMoment& moment) {
  ReleaseMeasure measure;
  measure.step = moment.step;
  measure.time_s = moment.time_s;
  measure.part = moment.part;
  measure.hold = moment.hold;
  measure.placed = moment.place != nullptr;
  measure.drop_mm = moment.drop_mm;
  measure.resolution_mm = least_resolution_mm;
  const FrameId frame = scene.frame_of(moment.part);
  const FrameId seat = true_seat(scene, moment.arrangement, moment.arrangement.parent[frame]);
  measure.seat = scene.frames[seat].name;
  if (moment.hold) return measure;
  const auto world = world_poses(scene, moment.arrangement, moment.joints);
  const Pose part_in_world = world[frame];
  const auto part = part_meshes(scene, world, moment.part, part_in_world);
  const auto points = contacts_of(scene, world, part, moment, measure);
  if (points.empty()) {
    measure.air = air_below(scene, world, part, moment);
    measure.near_something = stands_on_a_body(scene, moment.arrangement, moment.part) ||
                             (measure.air && measure.air->gap_mm <= size_of(part));
  } else if (const auto centre = centre_of(scene, masses, moment, part, part_in_world)) {
    measure.support = support_of(points, *centre, stated_friction(scene, moment, seat), measure.resolution_mm);
  }
  return measure;
}

}  // namespace

std::vector<ReleaseMeasure> measure_releases(const Scene& scene, const BodyMasses& masses, const CycleRun& run) {
  std::vector<ReleaseMeasure> measures;
  for (const ReleaseMoment& moment : release_moments(scene, run)) measures.push_back(measured(scene, masses, moment));
  return measures;
}

}  // namespace cellproof
