// SPDX-License-Identifier: GPL-3.0-or-later
// Three numbers of one lane. No branches: loops over lanes must stay one straight line to be vectorised.
#pragma once

#include "kinematics/lane_clones.hpp"

namespace cellproof::lanes {

namespace {

template <class T>
struct VectorOf {
  T x, y, z;
};
using Vector = VectorOf<double>;

CELLPROOF_IN_LANE Vector vector(const double (&v)[3]) {
  return {v[0], v[1], v[2]};
}
template <class T>
CELLPROOF_IN_LANE VectorOf<T> operator-(VectorOf<T> a, VectorOf<T> b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
template <class T>
CELLPROOF_IN_LANE VectorOf<T> operator+(VectorOf<T> a, VectorOf<T> b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
template <class S, class T>
CELLPROOF_IN_LANE VectorOf<T> operator*(S s, VectorOf<T> a) {
  return {s * a.x, s * a.y, s * a.z};
}
template <class T>
CELLPROOF_IN_LANE T dot(VectorOf<T> a, VectorOf<T> b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
template <class T>
CELLPROOF_IN_LANE VectorOf<T> cross(VectorOf<T> a, VectorOf<T> b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
CELLPROOF_IN_LANE double magnitude(double a) {
  return __builtin_fabs(a);
}
CELLPROOF_IN_LANE float magnitude(float a) {
  return __builtin_fabsf(a);
}
template <class T>
CELLPROOF_IN_LANE T least(T a, T b) {
  return a < b ? a : b;
}
template <class T>
CELLPROOF_IN_LANE T most(T a, T b) {
  return a > b ? a : b;
}
template <class T>
CELLPROOF_IN_LANE T positive(T a) {
  return a > 0 ? a : 0;
}
template <class T>
CELLPROOF_IN_LANE T unit_share(T a) {
  return least(most(a, T{0}), T{1});
}

}  // namespace

}  // namespace cellproof::lanes
