// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/fingers.hpp"

#include <algorithm>

#include "scene/solids/free_travel.hpp"

namespace cellproof {

namespace {

const Jaw& entry_of(const Scene& scene, int jaw) {
  return scene.cell.jaws[static_cast<std::size_t>(jaw)];
}

/// How far a finger's bodies can go from where the arrangement has them until one of them meets the part (mm).
double travel_to_part(const Scene& scene, const Arrangement& arrangement, int finger, int part,
                      const Pose& part_in_world, const Vector3d& way) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const int part_frame = scene.frame_named(scene.cell.parts[static_cast<std::size_t>(part)].name);
  const Pose moved = part_in_world * world_pose(scene, arrangement, links, part_frame).inverse();
  double travel = way.norm();
  for (const SceneBody& mine : scene.bodies) {
    if (!mine.solid || !rides_on(arrangement, mine.frame, finger)) continue;
    const Pose mine_in_world = world_pose(scene, arrangement, links, mine.frame);
    for (const SceneBody& theirs : scene.bodies) {
      if (!theirs.solid || theirs.owner_part != part || theirs.copy_of_seat >= 0 || !(travel > 0)) continue;
      const Pose theirs_in_world = moved * world_pose(scene, arrangement, links, theirs.frame);
      travel = std::min(
          travel, free_travel(*mine.solid, mine_in_world, *theirs.solid, theirs_in_world, travel * way.normalized()));
    }
  }
  return travel;
}

}  // namespace

std::vector<FingerPlaces> finger_places(const Scene& scene, const Arrangement& arrangement, int jaw) {
  std::vector<FingerPlaces> fingers;
  const Jaw& entry = entry_of(scene, jaw);
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const Pose jaw_in_world = world_pose(scene, arrangement, links, scene.frame_named(entry.name));
  for (const Finger& finger : entry.fingers) {
    FingerPlaces places;
    places.frame = scene.frame_named(finger.body);
    const Frame& stated = scene.frames[static_cast<std::size_t>(places.frame)];
    const Pose parent_in_world = world_pose(scene, arrangement, links, stated.parent);
    places.closed = stated.in_parent;
    places.open = Eigen::Translation3d(parent_in_world.linear().transpose() * (jaw_in_world.linear() * finger.open)) *
                  stated.in_parent;
    fingers.push_back(places);
  }
  return fingers;
}

std::vector<FingerPlaces> fingers_closed_on(const Scene& scene, const Arrangement& arrangement, int jaw, int part,
                                            const Pose& part_in_world) {
  std::vector<FingerPlaces> fingers = finger_places(scene, arrangement, jaw);
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  Arrangement open = arrangement;
  for (const FingerPlaces& places : fingers) open.in_parent[static_cast<std::size_t>(places.frame)] = places.open;
  for (std::size_t i = 0; i < fingers.size(); ++i) {
    const Finger& finger = entry_of(scene, jaw).fingers[i];
    if (!finger.stroke) continue;
    FingerPlaces& places = fingers[i];
    const int parent = scene.frames[static_cast<std::size_t>(places.frame)].parent;
    const Pose parent_in_world = world_pose(scene, open, links, parent);
    const Vector3d in_parent = (places.closed.translation() - places.open.translation()).normalized();
    const Vector3d way = *finger.stroke * (parent_in_world.linear() * in_parent);
    const double travel = travel_to_part(scene, open, places.frame, part, part_in_world, way);
    places.closed = Eigen::Translation3d(travel * in_parent) * places.open;
  }
  return fingers;
}

Pose part_in_hand(const Scene& scene, const Arrangement& arrangement, int tcp, const Pose& tcp_in_part) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, Joints::Zero());
  const int frame = scene.frame_named(scene.cell.tcps[static_cast<std::size_t>(tcp)].name);
  return world_pose(scene, arrangement, links, frame) * tcp_in_part.inverse();
}

int finger_of(const Scene& scene, const Arrangement& arrangement, int jaw, int body) {
  const auto& fingers = entry_of(scene, jaw).fingers;
  for (std::size_t i = 0; i < fingers.size(); ++i)
    if (rides_on(arrangement, scene.bodies[static_cast<std::size_t>(body)].frame, scene.frame_named(fingers[i].body)))
      return static_cast<int>(i);
  return -1;
}

}  // namespace cellproof
