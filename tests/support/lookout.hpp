// SPDX-License-Identifier: GPL-3.0-or-later
// A cell for looking around in: its camera stands in the world's origin and looks along +z; the arm has no length, so
// that its flange is the world's origin as well.
#pragma once

#include <cmath>
#include <string>

#include "scene/sight/views.hpp"

namespace cellproof::test {

inline Camera camera_60_degrees(int width = 1280, int height = 960) {
  Camera camera;
  camera.name = "camera";
  camera.width = width;
  camera.height = height;
  camera.fx = camera.fy = width / 2.0 / std::tan(radians(30));
  camera.cx = (width - 1) / 2.0;
  camera.cy = (height - 1) / 2.0;
  camera.near_mm = 50;
  camera.far_mm = 900;
  return camera;
}

inline Pose at(double x, double y, double z) {
  return Pose(Eigen::Translation3d(x, y, z));
}

/// A target in front of the camera that faces it.
inline Target facing_target(const Vector3d& centre, double width, double height) {
  Target target;
  target.name = "target";
  target.placed.at = at(centre.x(), centre.y(), centre.z()) * Eigen::AngleAxisd(pi, Vector3d::UnitX());
  target.size = {width, height};
  return target;
}

inline Body body(std::string name, Shape shape, const Pose& pose, std::string on = "world") {
  Body made;
  made.name = std::move(name);
  made.shape = std::move(shape);
  made.placed = {std::move(on), pose};
  return made;
}

inline Cell lookout(const Camera& camera, const std::vector<Target>& targets, const std::vector<Body>& bodies) {
  Cell cell;
  cell.name = "lookout";
  for (JointLimits& limits : cell.arm.arm.limits) limits = {-pi, pi, 1, 1};
  cell.cameras = {camera};
  cell.targets = targets;
  cell.bodies = bodies;
  return cell;
}

/// A look at all targets of a cell by its first camera.
struct Look {
  Scene scene;
  ViewRequest request;
  explicit Look(const Cell& cell) : scene(build_scene(cell).value()) {
    request.camera = CameraId(0);
    for (const TargetId i : ids_of(cell.targets)) request.targets.push_back(i);
    request.arrangement = stated_arrangement(scene);
  }
  TargetView target() const { return measure_targets(scene, request).front(); }
  std::string name(BodyId body) const { return scene.bodies[body].name; }
};

}  // namespace cellproof::test
