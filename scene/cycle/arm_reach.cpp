// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/arm_reach.hpp"

#include <cmath>

namespace cellproof {

namespace {

/// Greatest distance of a body's box from the origin of a frame that it hangs on (mm), as the file states it.
double radius_about(const Scene& scene, const SceneBody& body, FrameId carrier_frame) {
  Pose in_carrier = Pose::Identity();
  FrameId frame = body.frame;
  for (; frame > world_frame && frame != carrier_frame; frame = scene[frame].parent)
    in_carrier = scene[frame].in_parent * in_carrier;
  double radius = 0;
  for (const auto& corner : body.solid->box().corners()) radius = std::max(radius, (in_carrier * corner).norm());
  return radius;
}

/// Greatest distance of a held part, gripped anyhow, from link 6: out to the farthest tcp and twice across the part.
double held_radius(const Scene& scene, PartId part) {
  double tcp_distance = 0;
  for (const auto& tcp : scene.cell.tcps) {
    Pose in_link = Pose::Identity();
    for (FrameId f = scene.frame_named(tcp.name); f > world_frame && f != scene.link_frame[6]; f = scene[f].parent)
      in_link = scene[f].in_parent * in_link;
    tcp_distance = std::max(tcp_distance, in_link.translation().norm());
  }
  double across = 0;
  for (const auto& body : scene.bodies) {
    if (body.owner_part != part) continue;
    const FrameId part_frame = scene.frame_of(part);
    across = std::max(across, radius_about(scene, body, part_frame));
  }
  double grasp_distance = 0;
  for (const auto& grasp : scene.cell[part].grasps)
    grasp_distance = std::max(grasp_distance, grasp.at.translation().norm());
  return tcp_distance + grasp_distance + across;
}

/// How far a finger can stand from where the file draws it (mm).
double farthest_open_finger(const Scene& scene) {
  double farthest = 0;
  for (const auto& jaw : scene.cell.jaws)
    for (const auto& finger : jaw.fingers) farthest = std::max(farthest, finger.open.norm());
  return farthest;
}

}  // namespace

Joints reach_from_axes(const Scene& scene, PartId held_part) {
  ByLink<double> radius{};
  for (const auto& body : scene.bodies)
    if (body.link) {
      auto& mine = radius[body.link.index()];
      mine = std::max(mine, radius_about(scene, body, scene.link_frame[body.link.index()]));
    }
  if (held_part) radius[6] = std::max(radius[6], held_radius(scene, held_part));
  radius[6] += farthest_open_finger(scene);

  const Arm& arm = scene.cell.arm.arm;
  Joints reach = Joints::Zero();
  for (int joint = 0; joint < 6; ++joint) {
    double chain = 0;
    for (int link = joint + 1; link <= 6; ++link) {
      const DhRow& row = arm.rows[link - 1];
      chain += std::hypot(row.a, row.d);
      auto& mine = reach[joint];
      mine = std::max(mine, chain + radius[link]);
    }
  }
  return reach;
}

}  // namespace cellproof
