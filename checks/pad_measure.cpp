// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/pad_measure.hpp"

#include <algorithm>
#include <set>

#include "checks/part_meshes.hpp"
#include "checks/zone_covers.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

namespace {

std::set<BodyId> fingers_of(const Scene& scene, const Jaw& jaw) {
  std::set<BodyId> bodies;
  for (const Finger& finger : jaw.fingers) bodies.insert(id_named(scene.bodies, finger.body));
  return bodies;
}

/// The body that carries a fixture's jaw, with all that rides on it: a vise's fixed jaw is one of them.
std::set<BodyId> beside_fingers(const Scene& scene, const Jaw& jaw) {
  const Arrangement stated = stated_arrangement(scene);
  const auto is_body = [&](FrameId frame) {
    return std::ranges::any_of(scene.bodies, [&](const SceneBody& body) { return body.frame == frame; });
  };
  FrameId carrier = scene.frame_named(jaw.name);
  while (carrier && !is_body(carrier)) carrier = stated.parent[carrier];
  std::set<BodyId> bodies;
  if (!carrier) return bodies;
  for (const BodyId b : ids_of(scene.bodies))
    if (scene.bodies[b].kind == BodyKind::surroundings && rides_on(stated, scene.bodies[b].frame, carrier))
      bodies.insert(b);
  return bodies;
}

std::set<BodyId> touching(const Scene& scene, const Tcp& tcp) {
  std::set<BodyId> bodies;
  if (tcp.touch)
    for (const auto& name : *tcp.touch) bodies.insert(id_named(scene.bodies, name));
  else
    for (const BodyId b : ids_of(scene.bodies))
      if (scene.bodies[b].kind == BodyKind::end_effector) bodies.insert(b);
  return bodies;
}

/// How far a finger has travelled from where it stands open (mm), with the frames as in `world`.
double travelled(const Scene& scene, const Table<FrameId, Pose>& world, const Jaw& jaw, const Finger& finger) {
  const auto stated = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  const auto in_jaw = [&](const Table<FrameId, Pose>& poses) {
    const Pose& of_jaw = poses[scene.frame_named(jaw.name)];
    return Vector3d((of_jaw.inverse() * poses[scene.frame_named(finger.body)]).translation());
  };
  return finger.open.norm() - (in_jaw(world) - in_jaw(stated)).dot(finger.open.normalized());
}

/// The least distance (mm) of what rides on a frame from a part that stands at a pose.
double gap_to_part(const Scene& scene, const Table<FrameId, Pose>& world, FrameId frame, PartId part,
                   const Pose& part_in_world) {
  const FrameId part_frame = scene.frame_of(part);
  const Pose moved = part_in_world * world[part_frame].inverse();
  const Arrangement stated = stated_arrangement(scene);
  double gap = std::numeric_limits<double>::infinity();
  for (const SceneBody& mine : scene.bodies) {
    if (!mine.solid || !rides_on(stated, mine.frame, frame)) continue;
    for (const SceneBody& theirs : scene.bodies)
      if (theirs.solid && theirs.owner_part == part && !theirs.copy_of_seat)
        gap = std::min(
            gap, nearest(*mine.solid, world[mine.frame], *theirs.solid, moved * world[theirs.frame], 1e9).distance);
  }
  return gap;
}

std::vector<ShortFinger> short_fingers(const Scene& scene, const Table<FrameId, Pose>& world, const Jaw& jaw,
                                       PartId part, const Pose& part_in_world) {
  constexpr double met_mm = 0.002;  // a finger stops a thousandth before what it meets
  std::vector<ShortFinger> all;
  for (const Finger& finger : jaw.fingers) {
    if (!finger.stroke || travelled(scene, world, jaw, finger) < *finger.stroke - 1e-6) continue;
    const double gap = gap_to_part(scene, world, scene.frame_named(finger.body), part, part_in_world);
    if (gap > met_mm) all.push_back({id_named(scene.bodies, finger.body), gap});
  }
  return all;
}

PadMeasure measured(const Scene& scene, const Table<FrameId, Pose>& world, JawId jaw, const std::set<BodyId>& bodies,
                    PartId part, const Pose& part_in_world) {
  const Jaw& entry = scene.cell.jaws[jaw];
  const Pose world_in_jaw = world[scene.frame_named(entry.name)].inverse();
  PadMeasure measure;
  measure.jaw = jaw;
  measure.part = part;
  measure.looked_at = !bodies.empty();
  if (bodies.empty()) return measure;
  measure.short_fingers = short_fingers(scene, world, entry, part, part_in_world);
  std::vector<PlacedMesh> pads;
  for (const BodyId body : bodies) pads.push_back(placed_body(scene, world, body, world_in_jaw));
  measure.contact = pad_contact(entry.pads, pads, part_meshes(scene, world, part, part_in_world, world_in_jaw),
                                seal_tolerance_mm(scene.cell.rules));
  return measure;
}

bool stands_opposite(const PadContact& contact) {
  return std::ranges::any_of(contact.sides,
                             [](const PadSide& side) { return side.met.area_mm2 > 0 || side.gap.has_value(); });
}

}  // namespace

std::optional<PadMeasure> measure_pads_of_grip(const Scene& scene, const Stretch& stretch) {
  if (stretch.kind != StretchKind::grip || !stretch.contact) return std::nullopt;
  const Tcp& tcp = scene.cell.tcps[stretch.contact->tcp];
  const JawId jaw = id_named(scene.cell.jaws, tcp.jaw);
  if (!jaw) return std::nullopt;
  const auto world = world_poses(scene, arrangement_at(stretch, stretch.end_s), stretch.motion.path.end());
  std::set<BodyId> bodies = fingers_of(scene, scene.cell.jaws[jaw]);
  const bool stated = tcp.touch.has_value() || !bodies.empty();
  bodies.merge(touching(scene, tcp));
  const PartId part = stretch.contact->part;
  PadMeasure measure = measured(scene, world, jaw, bodies, part, part_pose(scene, world, part));
  measure.looked_at = measure.looked_at && (stated || stands_opposite(measure.contact));
  return measure;
}

PadMeasure measure_pads_of_hold(const Scene& scene, const Table<FrameId, Pose>& world, JawId jaw, PartId part,
                                const Pose& part_in_world) {
  const Jaw& entry = scene.cell.jaws[jaw];
  std::set<BodyId> bodies = fingers_of(scene, entry);
  const bool stated = !bodies.empty();
  bodies.merge(beside_fingers(scene, entry));
  PadMeasure measure = measured(scene, world, jaw, bodies, part, part_in_world);
  measure.looked_at = stated || (measure.looked_at && measure.contact.on_all_sides());
  return measure;
}

}  // namespace cellproof
