// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/point_lanes.hpp"

#include "kinematics/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

using FloatVector = VectorOf<float>;

CELLPROOF_IN_LANE FloatVector vector(const float (&v)[3]) {
  return {v[0], v[1], v[2]};
}
CELLPROOF_IN_LANE FloatVector point(const Points& points, int i) {
  return {points.x[i], points.y[i], points.z[i]};
}
CELLPROOF_IN_LANE void put(const Vector& from, float (&to)[3]) {
  to[0] = static_cast<float>(from.x);
  to[1] = static_cast<float>(from.y);
  to[2] = static_cast<float>(from.z);
}

/// The largest of the first 2 `half` numbers, halves against halves.
template <int half>
CELLPROOF_IN_LANE float largest(const float* numbers) {
  float larger[half];
  for (int i = 0; i < half; ++i) larger[i] = most(numbers[i], numbers[i + half]);
  if constexpr (half == 1)
    return larger[0];
  else
    return largest<half / 2>(larger);
}

CELLPROOF_IN_LANE void reach(const Points& points, const float (&direction)[3], float (&along)[Points::most]) {
  const FloatVector d = vector(direction);
  for (int i = 0; i < Points::most; ++i) along[i] = dot(d, point(points, i));
}

CELLPROOF_IN_LANE float gap(const float (&ends)[Points::most], const Points& b, const Reaching& along_b) {
  float begins[Points::most];
  reach(b, along_b.direction, begins);
  for (int i = 0; i < Points::most; ++i) begins[i] = -begins[i];
  return -largest<Points::most / 2>(begins) - largest<Points::most / 2>(ends);
}

}  // namespace

Reaching reaching(const double (&direction)[3], const Drift& motion) {
  const Vector d = lanes::vector(direction);
  Reaching result;
  put(d, result.direction);
  put(cross(d, lanes::vector(motion.turn)), result.lever);  // direction · (turn × p) = lever · p
  result.along_shift = static_cast<float>(dot(d, lanes::vector(motion.shift)));
  return result;
}

CELLPROOF_LANE_CLONES
float between(const Points& a, const Reaching& along_a, const Points& b, const Reaching& along_b) {
  float ends[Points::most];
  reach(a, along_a.direction, ends);
  return gap(ends, b, along_b);
}

CELLPROOF_LANE_CLONES
float between_moved(const Points& a, const Reaching& along_a, const Points& b, const Reaching& along_b) {
  float ends[Points::most], moves[Points::most];
  reach(a, along_a.direction, ends);
  reach(a, along_a.lever, moves);
  for (int i = 0; i < Points::most; ++i) ends[i] += magnitude(along_a.along_shift + moves[i]);
  return gap(ends, b, along_b);
}

}  // namespace cellproof::lanes
