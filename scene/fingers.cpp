// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/fingers.hpp"

#include <algorithm>

#include "scene/solids/free_travel.hpp"

namespace cellproof {

namespace {

const Jaw& entry_of(const Scene& scene, JawId jaw) {
  return scene.cell.jaws[jaw];
}

/// How far a finger's bodies can go from where the arrangement has them until one of them meets the part (mm).
double travel_to_part(const Scene& scene, const Arrangement& arrangement, FrameId finger, PartId part,
                      const Pose& part_in_world, const Vector3d& way) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const FrameId part_frame = scene.frame_of(part);
  const Pose moved = part_in_world * world_pose(scene, arrangement, links, part_frame).inverse();
  double travel = way.norm();
  for (const SceneBody& mine : scene.bodies) {
    if (!mine.solid || !rides_on(arrangement, mine.frame, finger)) continue;
    const Pose mine_in_world = world_pose(scene, arrangement, links, mine.frame);
    for (const SceneBody& theirs : scene.bodies) {
      if (!theirs.solid || theirs.owner_part != part || theirs.copy_of_seat || !(travel > 0)) continue;
      const Pose theirs_in_world = moved * world_pose(scene, arrangement, links, theirs.frame);
      travel = std::min(
          travel, free_travel(*mine.solid, mine_in_world, *theirs.solid, theirs_in_world, travel * way.normalized()));
    }
  }
  return travel;
}

}  // namespace

Table<FingerId, FingerPlaces> finger_places(const Scene& scene, const Arrangement& arrangement, JawId jaw) {
  Table<FingerId, FingerPlaces> fingers;
  const Jaw& entry = entry_of(scene, jaw);
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const Pose jaw_in_world = world_pose(scene, arrangement, links, scene.frame_named(entry.name));
  for (const Finger& finger : entry.fingers) {
    FingerPlaces places;
    places.frame = scene.frame_named(finger.body);
    const Frame& stated = scene.frames[places.frame];
    const Pose parent_in_world = world_pose(scene, arrangement, links, stated.parent);
    places.closed = stated.in_parent;
    places.open = Eigen::Translation3d(parent_in_world.linear().transpose() * (jaw_in_world.linear() * finger.open)) *
                  stated.in_parent;
    fingers.push_back(places);
  }
  return fingers;
}

Table<FingerId, FingerPlaces> fingers_closed_on(const Scene& scene, const Arrangement& arrangement, JawId jaw,
                                                PartId part, const Pose& part_in_world) {
  Table<FingerId, FingerPlaces> fingers = finger_places(scene, arrangement, jaw);
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  Arrangement open = arrangement;
  for (const FingerPlaces& places : fingers) open.in_parent[places.frame] = places.open;
  for (const FingerId i : ids_of(fingers)) {
    const Finger& finger = entry_of(scene, jaw).fingers[i];
    if (!finger.stroke) continue;
    FingerPlaces& places = fingers[i];
    const FrameId parent = scene.frames[places.frame].parent;
    const Pose parent_in_world = world_pose(scene, open, links, parent);
    const Vector3d in_parent = (places.closed.translation() - places.open.translation()).normalized();
    const Vector3d way = *finger.stroke * (parent_in_world.linear() * in_parent);
    const double travel = travel_to_part(scene, open, places.frame, part, part_in_world, way);
    places.closed = Eigen::Translation3d(travel * in_parent) * places.open;
  }
  return fingers;
}

Pose part_in_hand(const Scene& scene, const Arrangement& arrangement, TcpId tcp, const Pose& tcp_in_part) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const FrameId frame = scene.frame_of(tcp);
  return world_pose(scene, arrangement, links, frame) * tcp_in_part.inverse();
}

FingerId finger_of(const Scene& scene, const Arrangement& arrangement, JawId jaw, BodyId body) {
  const auto& fingers = entry_of(scene, jaw).fingers;
  for (const FingerId i : ids_of(fingers))
    if (rides_on(arrangement, scene.bodies[body].frame, scene.frame_named(fingers[i].body))) return i;
  return {};
}

}  // namespace cellproof
