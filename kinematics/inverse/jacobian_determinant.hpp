// SPDX-License-Identifier: GPL-3.0-or-later
// The determinant of an arm's Jacobian from its axes, by the factors that the arm's structure leaves. T is a number, or
// one number of each of several positions side by side.
#pragma once

#include "kinematics/inverse/arm_structure.hpp"
#include "kinematics/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

/// Unit directions of the joints' axes and points on them.
template <class T>
struct AxesOf {
  VectorOf<T> directions[6], points[6];
};

template <class T>
CELLPROOF_IN_LANE T volume(VectorOf<T> a, VectorOf<T> b, VectorOf<T> c) {
  return dot(a, cross(b, c));
}

template <class T>
CELLPROOF_IN_LANE VectorOf<T> speed_at(const AxesOf<T>& axes, int axis, const VectorOf<T>& of) {
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
template <class T>
CELLPROOF_IN_LANE T of_meeting_axes(const AxesOf<T>& axes, int first) {
  const VectorOf<T> centre = axes.points[first + 1];
  const auto [x, y, z] = others(first);
  return volume(speed_at(axes, x, centre), speed_at(axes, y, centre), speed_at(axes, z, centre)) *
         volume(axes.directions[first], axes.directions[first + 1], axes.directions[first + 2]);
}

/// Three axes from `first` are parallel: what they do in their plane, times what the others do out of it.
template <class T>
CELLPROOF_IN_LANE T of_parallel_axes(const AxesOf<T>& axes, int first) {
  const auto [x, y, z] = others(first);
  const VectorOf<T> common = axes.directions[first], point = axes.points[z], last = axes.points[first + 2];
  const T in_plane = volume(common, last - axes.points[first], last - axes.points[first + 1]);
  const T out_of_plane =
      dot(common, speed_at(axes, x, point)) * volume(common, axes.directions[y], axes.directions[z]) +
      dot(common, speed_at(axes, y, point)) * volume(axes.directions[x], common, axes.directions[z]);
  return in_plane * out_of_plane;
}

/// P.-S. Laplace's expansion: every three columns of speeds with the directions of the three others.
template <class T>
CELLPROOF_IN_LANE T of_any_axes(const AxesOf<T>& axes) {
  VectorOf<T> speeds[6];
  for (int i = 0; i < 6; ++i) speeds[i] = speed_at(axes, i, axes.points[5]);
  T sum{};
  for (int i = 0; i < 4; ++i)
    for (int j = i + 1; j < 5; ++j)
      for (int k = j + 1; k < 6; ++k) {
        VectorOf<T> rest[3];
        for (int axis = 0, count = 0; axis < 6; ++axis)
          if (axis != i && axis != j && axis != k) rest[count++] = axes.directions[axis];
        const T product = volume(speeds[i], speeds[j], speeds[k]) * volume(rest[0], rest[1], rest[2]);
        sum += (i + j + k) % 2 == 1 ? product : -product;
      }
  return sum;
}

/// Lengths in those of `axes`.
template <class T>
CELLPROOF_IN_LANE T jacobian_determinant(const AxesOf<T>& axes, const ArmStructure& structure) {
  const int first = structure.first - 1;
  if (structure.triple == AxisTriple::meeting) return of_meeting_axes(axes, first);
  if (structure.triple == AxisTriple::parallel) return of_parallel_axes(axes, first);
  return of_any_axes(axes);
}

}  // namespace

}  // namespace cellproof::lanes
