// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/holder.hpp"

#include "scene/cell/pair_friction.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

Load seen_by(const PlacedJaw& jaw, const Load& load) {
  const Pose to_jaw = jaw.in_tcp.inverse();
  return {to_jaw.linear() * load.force, to_jaw.linear() * load.moment, to_jaw * load.at};
}

}  // namespace

GripFactors Holder::factors(const Load& load_in_tcp) const {
  if (const auto* zones = suction()) return grip_factors(*zones, load_in_tcp);
  return grip_factors(jaw()->jaw, seen_by(*jaw(), load_in_tcp));
}

double Holder::moment_in_pads(const Load& load_in_tcp) const {
  return cellproof::moment_in_pads(jaw()->jaw, seen_by(*jaw(), load_in_tcp));
}

double Holder::force() const {
  return suction() ? suction()->force : jaw()->jaw.pads * jaw()->jaw.force;
}

Pose frame_seen_from(const Scene& scene, const Arrangement& arrangement, const Joints& joints, FrameId frame,
                     FrameId from) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  return world_pose(scene, arrangement, links, from).inverse() * world_pose(scene, arrangement, links, frame);
}

std::optional<Holder> holder_of(const Scene& scene, const Arrangement& arrangement, TcpId tcp, PartId part,
                                double area_times) {
  const Cell& cell = scene.cell;
  const Tcp& entry = cell.tcps[tcp];
  const FrameId tcp_frame = scene.frame_named(entry.name);
  const auto placed = [&](const std::string& name) {
    return frame_seen_from(scene, arrangement, Joints::Zero(), scene.frame_named(name), tcp_frame);
  };
  const auto friction = [&](const std::string& name, double own) {
    return friction_between(cell, {name, entry.name}, cell.parts[part].name, own);
  };
  if (!entry.jaw.empty()) {
    Jaw jaw = cell.jaws[id_named(cell.jaws, entry.jaw)];
    jaw.friction = friction(jaw.name, jaw.friction);
    return Holder(PlacedJaw{jaw, placed(jaw.name)});
  }
  std::vector<PlacedZone> zones;
  for (const auto& name : entry.suction) {
    Suction zone = cell.suctions[id_named(cell.suctions, name)];
    zone.friction = friction(name, zone.friction);
    zones.push_back({grown(zone, area_times), placed(name)});
  }
  if (zones.empty()) return std::nullopt;
  return Holder(suction_grip(zones));
}

HeldPart held_part(const Scene& scene, const Stretch& stretch, const RigidMass& part) {
  const FrameId tcp = scene.frame_of(stretch.holding_tcp);
  const FrameId frame = scene.frame_of(stretch.held_part);
  const auto in_flange = [&](FrameId which) {
    return frame_seen_from(scene, *stretch.arrangement, Joints::Zero(), which, scene.flange_frame);
  };
  HeldPart held;
  held.in_flange = placed_mass(part, in_flange(frame));
  held.tcp_in_flange = in_flange(tcp);
  held.base_in_world = world_pose(scene, *stretch.arrangement, ArmFrames{}, scene.base_frame).linear();
  return held;
}

}  // namespace cellproof
