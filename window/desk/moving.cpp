// SPDX-License-Identifier: GPL-3.0-or-later
#include "window/desk/moving.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/named_entry.hpp"

namespace cellproof {

namespace {

Pose& pose_of(Cell& cell, const std::string& mover) {
  return mover == "base" ? cell.arm.base.at
                         : cell.bodies[static_cast<std::size_t>(index_named(cell.bodies, mover))].placed.at;
}

/// Where a line meets the plane through a point.
std::optional<Vector3d> meets(const LookLine& line, const Vector3d& point, const Vector3d& normal) {
  const double across = line.direction.dot(normal);
  if (std::abs(across) < 1e-3 * line.direction.norm() * normal.norm()) return std::nullopt;
  return line.eye + line.direction * ((point - line.eye).dot(normal) / across);
}

/// A number as one would write it: to a hundredth, without zeros that say nothing.
std::string plain(double value) {
  std::string text = fmt::format("{:.2f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string triple(const Vector3d& values) {
  return fmt::format("[{}, {}, {}]", plain(values.x()), plain(values.y()), plain(values.z()));
}

/// Roll, pitch and yaw (rad) of R = Rz(yaw) Ry(pitch) Rx(roll).
Vector3d turn_of(const Eigen::Matrix3d& r) {
  const double pitch = std::atan2(-r(2, 0), std::hypot(r(0, 0), r(1, 0)));
  if (std::hypot(r(0, 0), r(1, 0)) < 1e-9) return {0, pitch, std::atan2(-r(0, 1), r(1, 1))};
  return {std::atan2(r(2, 1), r(2, 2)), pitch, std::atan2(r(1, 0), r(0, 0))};
}

}  // namespace

std::vector<std::string> movers_of(const Scene& scene) {
  std::vector<std::string> movers{"base"};
  for (const SceneBody& body : scene.bodies)
    if (body.kind == BodyKind::surroundings) movers.push_back(body.name);
  return movers;
}

std::string mover_under(const Scene& scene, int body) {
  const SceneBody& dragged_body = scene.bodies[static_cast<std::size_t>(body)];
  if (dragged_body.kind == BodyKind::arm || dragged_body.kind == BodyKind::end_effector) return "base";
  if (dragged_body.kind == BodyKind::part) return {};
  int frame = dragged_body.frame;
  while (scene.frames[static_cast<std::size_t>(frame)].parent > 0)
    frame = scene.frames[static_cast<std::size_t>(frame)].parent;
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
  const Vector3d turn = turn_of(pose.linear()).unaryExpr([](double angle) { return degrees(angle); });
  std::string text = fmt::format("{} = {{ xyz = {}", mover == "base" ? "base" : "at", triple(pose.translation()));
  if (turn.norm() > 0.005) text += fmt::format(", turn = {}", triple(turn));
  return text + " }";
}

}  // namespace cellproof
