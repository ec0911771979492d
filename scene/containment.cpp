// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "scene/distance.hpp"

namespace cellproof {

namespace {

/// Some shell of `inner` lies inside `outer`: as the surfaces don't touch, one point of a shell speaks for all of it.
bool holds_shell_of(const Solid& outer, const Solid& inner, const Pose& inner_in_outer) {
  if (!outer.closed().closed) return false;
  return std::any_of(inner.shell_points().begin(), inner.shell_points().end(), [&](const Vector3d& point) {
    const Vector3d placed = inner_in_outer * point;
    return outer.box().contains(placed) && std::abs(winding_number(outer.mesh(), placed)) >= 0.5;
  });
}

}  // namespace

bool contains_part_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world) {
  const Pose b_in_a = a_in_world.inverse() * b_in_world;
  return holds_shell_of(a, b, b_in_a) || holds_shell_of(b, a, b_in_a.inverse());
}

}  // namespace cellproof
