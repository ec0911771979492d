// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/placement.hpp"

namespace cellproof {

Pose placed_by(const Pose& stated, const Placement& placement) {
  Pose placed = Pose::Identity();
  placed.linear() = Eigen::AngleAxisd(placement.yaw, Vector3d::UnitZ()).toRotationMatrix() * stated.linear();
  placed.translation() = stated.translation() + placement.offset;
  return placed;
}

FrameId frame_of_mover(const Scene& scene, const std::string& mover) {
  return mover == "base" ? scene.base_frame : scene.frame_named(mover);
}

Scene with_placement(Scene scene, const std::string& mover, const Placement& placement) {
  Pose& in_parent = scene.frames[frame_of_mover(scene, mover)].in_parent;
  in_parent = placed_by(in_parent, placement);
  (mover == "base" ? scene.cell.arm.base.at : scene.cell.bodies[id_named(scene.cell.bodies, mover)].placed.at) =
      in_parent;
  return scene;
}

}  // namespace cellproof
