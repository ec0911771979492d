// SPDX-License-Identifier: GPL-3.0-or-later
// The joints' axes in four positions side by side, and the determinant of the Jacobian by what the structure leaves.
#pragma once

#include "kinematics/arm_structure.hpp"
#include "kinematics/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

/// One number of each of the four positions.
using Four = double __attribute__((vector_size(32)));
using FourVectors = VectorOf<Four>;

struct FourAxes {
  FourVectors directions[6], points[6];
};

template <class T>
CELLPROOF_IN_LANE T volume(VectorOf<T> a, VectorOf<T> b, VectorOf<T> c) {
  return dot(a, cross(b, c));
}

template <class Axes>
CELLPROOF_IN_LANE auto speed_at(const Axes& axes, int axis, const FourVectors& of) {
  return cross(axes.directions[axis], of - axes.points[axis]);
}

/// The three axes that are not among the three from `first`, all 0-based.
struct Others {
  int x, y, z;
};
CELLPROOF_IN_LANE Others others(int first) {
  return {first > 0 ? 0 : 3, first > 1 ? 1 : 4, first > 2 ? 2 : 5};
}

/// Three axes from `first` meet: what the others do to that point, times what the three can turn.
template <class Axes>
CELLPROOF_IN_LANE auto of_meeting_axes(const Axes& axes, int first) {
  const FourVectors centre = axes.points[first + 1];
  const auto [x, y, z] = others(first);
  return volume(speed_at(axes, x, centre), speed_at(axes, y, centre), speed_at(axes, z, centre)) *
         volume(axes.directions[first], axes.directions[first + 1], axes.directions[first + 2]);
}

/// Three axes from `first` are parallel: what they do in their plane, times what the others do out of it.
template <class Axes>
CELLPROOF_IN_LANE auto of_parallel_axes(const Axes& axes, int first) {
  const auto [x, y, z] = others(first);
  const FourVectors common = axes.directions[first], point = axes.points[z], last = axes.points[first + 2];
  const auto in_plane = volume(common, last - axes.points[first], last - axes.points[first + 1]);
  const auto out_of_plane =
      dot(common, speed_at(axes, x, point)) * volume(common, axes.directions[y], axes.directions[z]) +
      dot(common, speed_at(axes, y, point)) * volume(axes.directions[x], common, axes.directions[z]);
  return in_plane * out_of_plane;
}

}  // namespace

}  // namespace cellproof::lanes
