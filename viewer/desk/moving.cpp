// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/moving.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/cell/pose_text.hpp"

namespace cellproof {

namespace {

Pose& pose_of(Cell& cell, const std::string& mover) {
  return mover == "base" ? cell.arm.base.at : cell.bodies[id_named(cell.bodies, mover)].placed.at;
}

/// Where a line meets the plane through a point.
std::optional<Vector3d> meets(const LookLine& line, const Vector3d& point, const Vector3d& normal) {
  const double across = line.direction.dot(normal);
  if (std::abs(across) < 1e-3 * line.direction.norm() * normal.norm()) return std::nullopt;
  return line.eye + line.direction * ((point - line.eye).dot(normal) / across);
}

}  // namespace

std::vector<std::string> movers_of(const Scene& scene) {
  std::vector<std::string> movers{"base"};
  for (const SceneBody& body : scene.bodies)
    if (body.kind == BodyKind::surroundings) movers.push_back(body.name);
  return movers;
}

std::string mover_under(const Scene& scene, BodyId body) {
  const SceneBody& dragged_body = scene.bodies[body];
  if (dragged_body.kind == BodyKind::arm || dragged_body.kind == BodyKind::end_effector) return "base";
  if (dragged_body.kind == BodyKind::part) return {};
  FrameId frame = dragged_body.frame;
  while (scene.frames[frame].parent > world_frame) frame = scene.frames[frame].parent;
  const auto lowest = std::ranges::find_if(scene.bodies, [&](const SceneBody& other) { return other.frame == frame; });
  return lowest == scene.bodies.end() ? dragged_body.name : lowest->name;
}

Cell moved(const Cell& cell, const std::string& mover, const Placement& placement) {
  Cell other = cell;
  Pose& pose = pose_of(other, mover);
  pose = placed_by(pose, placement);
  return other;
}

std::optional<Vector3d> dragged(const LookLine& from, const LookLine& to, const Vector3d& point,
                                const Vector3d& plane_normal) {
  const auto a = meets(from, point, plane_normal), b = meets(to, point, plane_normal);
  if (!a || !b) return std::nullopt;
  return *b - *a;
}

std::string line_to_write(const Cell& cell, const std::string& mover, const Placement& placement) {
  Cell other = moved(cell, mover, placement);
  const Pose& pose = pose_of(other, mover);
  return fmt::format("{} = {}", mover == "base" ? "base" : "at", pose_text(pose, cell.units));
}

}  // namespace cellproof
