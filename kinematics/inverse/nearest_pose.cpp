// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <vector>

#include "kinematics/inverse/approach.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/inverse/shortfall.hpp"

namespace cellproof {
namespace {

constexpr int starts_each = 40, kept = 8;

/// The k-th number of J. H. Halton's sequence (1960) to a base: it fills [0, 1) evenly.
double evenly_spread(int k, int base) {
  double result = 0, part = 1;
  for (; k > 0; k /= base) result += (part /= base) * (k % base);
  return result;
}

Joints start_of(const Arm& arm, int k, WithinLimits within) {
  constexpr std::array<int, 6> bases{2, 3, 5, 7, 11, 13};
  Joints values;
  for (std::size_t j = 0; j < 6; ++j) {
    const bool limited = within == WithinLimits::yes;
    const double low = limited ? arm.limits[j].min : -pi, high = limited ? arm.limits[j].max : pi;
    values[static_cast<Eigen::Index>(j)] = low + (high - low) * evenly_spread(k + 1, bases[j]);
  }
  return values;
}

/// Position first; positions that differ by less than `alike` (mm) count as one.
bool nearer(const NearestPose& a, const NearestPose& b, double alike) {
  if (std::abs(a.position_mm - b.position_mm) > alike) return a.position_mm < b.position_mm;
  return a.angle < b.angle;
}

}  // namespace

NearestPose stand_at(const Arm& arm, const ReachRequest& request, const Joints& values) {
  NearestPose result;
  result.values = values;
  result.tool_in_base = flange_in_base(arm, values) * request.tool_in_flange;
  const Twist gap = pose_difference(result.tool_in_base, request.tool_in_base);
  result.position_mm = gap.head<3>().norm();
  result.angle = gap.tail<3>().norm();
  return result;
}

NearestPose nearest_pose(const Arm& arm, const ReachRequest& request, WithinLimits within) {
  const double length = length_scale(arm) + request.tool_in_flange.translation().norm();
  ApproachRequest search{request.tool_in_flange, request.tool_in_base, 0, within == WithinLimits::yes};
  const auto go_on = [&](const Joints& values, double weight, int rounds) {
    search.weight_per_mm = weight / length;
    search.rounds = rounds;
    return approach(arm, search, values).values;
  };
  std::vector<NearestPose> found;
  // Half of them with position and turn alike, half with hardly a thought for the turn.
  for (const double weight : {1.0, 100.0}) {
    for (int k = 0; k < starts_each; ++k)
      found.push_back(stand_at(arm, request, go_on(start_of(arm, k, within), weight, 30)));
  }
  const auto by = [&](double alike) {
    return [alike](const NearestPose& a, const NearestPose& b) { return nearer(a, b, alike); };
  };
  // The most promising of each half, then turn against position until position has its way.
  std::vector<NearestPose> settled;
  for (const auto half : {found.begin(), found.begin() + starts_each}) {
    std::vector<NearestPose> best(half, half + starts_each);
    std::stable_sort(best.begin(), best.end(), [&](const NearestPose& a, const NearestPose& b) {
      return std::hypot(a.position_mm / length, a.angle * 0.01) < std::hypot(b.position_mm / length, b.angle * 0.01);
    });
    for (std::size_t i = 0; i < kept; ++i) {
      Joints values = best[i].values;
      for (const double weight : {1e2, 1e3, 1e4}) values = go_on(values, weight, 60);
      settled.push_back(stand_at(arm, request, values));
    }
  }
  return *std::min_element(settled.begin(), settled.end(), by(1e-6 * length));
}

}  // namespace cellproof
