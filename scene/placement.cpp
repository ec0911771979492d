// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/placement.hpp"

#include "scene/named_entry.hpp"

namespace cellproof {

Pose placed_by(const Pose& stated, const Placement& placement) {
  Pose placed = Pose::Identity();
  placed.linear() = Eigen::AngleAxisd(placement.yaw, Vector3d::UnitZ()).toRotationMatrix() * stated.linear();
  placed.translation() = stated.translation() + placement.offset;
  return placed;
}

Scene with_placement(Scene scene, const std::string& mover, const Placement& placement) {
  const bool is_arm = mover == "base";
  Pose& stated = is_arm ? scene.cell.arm.base.at
                        : scene.cell.bodies[static_cast<std::size_t>(index_named(scene.cell.bodies, mover))].placed.at;
  stated = placed_by(stated, placement);
  const int frame = is_arm ? scene.base_frame : scene.frame_named(mover);
  scene.frames[static_cast<std::size_t>(frame)].in_parent = stated;
  return scene;
}

}  // namespace cellproof
