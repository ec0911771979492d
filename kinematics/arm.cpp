// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/arm.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "kinematics/entry.hpp"

namespace cellproof {

double length_scale(const Arm& arm) {
  double sum = 0;
  for (const DhRow& row : arm.rows) sum += std::hypot(row.a, row.d);
  return sum;
}

double limit_margin(const Arm& arm, const Joints& values) {
  double margin = std::numeric_limits<double>::infinity();
  for (int j = 0; j < 6; ++j) {
    const JointLimits& limit = entry(arm.limits, j);
    margin = std::min({margin, values[j] - limit.min, limit.max - values[j]});
  }
  for (const SumLimit& limit : arm.sum_limits) {
    const double sum = limit.coefficients.dot(values);
    margin = std::min({margin, sum - limit.min, limit.max - sum});
  }
  return margin;
}

bool within_limits(const Arm& arm, const Joints& values, double slack) {
  return limit_margin(arm, values) >= -slack;
}

}  // namespace cellproof
