// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/path_measures.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "kinematics/forward.hpp"

namespace cellproof {

namespace {

/// Parameters along the path between which no joint turns more than 2 degrees.
std::vector<double> sample_shares(const Path& path) {
  std::vector<double> shares{0.0};
  const auto& knots = path.knots();
  const double step = radians(2);
  double since = 0;
  for (std::size_t i = 1; i < knots.size(); ++i) {
    const double turn = (knots[i].values - knots[i - 1].values).cwiseAbs().maxCoeff();
    const int pieces = std::max(1, static_cast<int>(std::ceil(turn / step)));
    since += turn;
    if (pieces == 1 && since < step && i + 1 < knots.size()) continue;  // knots of a line lie closer than is needed
    since = 0;
    for (int k = 1; k <= pieces; ++k) shares.push_back(knots[i - 1].s + (knots[i].s - knots[i - 1].s) * k / pieces);
  }
  return shares;
}

struct Least {
  double share = 0, value = 0;
};

/// Golden section between the neighbours of the least sample.
Least least_along(const std::vector<double>& shares, const std::function<double(double)>& measure) {
  std::size_t best = 0;
  std::vector<double> values;
  for (const double share : shares) values.push_back(measure(share));
  for (std::size_t i = 1; i < values.size(); ++i)
    if (values[i] < values[best]) best = i;
  Least least{shares[best], values[best]};
  double low = shares[best == 0 ? 0 : best - 1], high = shares[std::min(best + 1, shares.size() - 1)];
  const double golden = 0.5 * (std::sqrt(5.0) - 1);
  for (int i = 0; i < 24 && high > low; ++i) {
    const double a = high - golden * (high - low), b = low + golden * (high - low);
    const double at_a = measure(a), at_b = measure(b);
    if (at_a < least.value) least = {a, at_a};
    if (at_b < least.value) least = {b, at_b};
    (at_a < at_b ? high : low) = at_a < at_b ? b : a;
  }
  return least;
}

}  // namespace

PathMeasures measure_path(const Arm& arm, const Path& path) {
  PathMeasures measures;
  measures.limit_margin = std::numeric_limits<double>::infinity();
  for (const Knot& knot : path.knots()) {
    const double margin = limit_margin(arm, knot.values);
    if (margin >= measures.limit_margin) continue;
    measures.limit_margin = margin;
    measures.at_limit = knot.values;
  }
  const std::vector<double> shares = path.goes_nowhere() ? std::vector<double>{0.0} : sample_shares(path);
  const double length = length_scale(arm);
  const auto jacobian = [&](double share) { return flange_jacobian(arm, arm_frames(arm, path.on_chain(share))); };
  measures.manipulability = least_along(shares, [&](double s) { return manipulability(jacobian(s)); }).value;
  const Least singular = least_along(shares, [&](double s) { return least_singular_value(jacobian(s), length); });
  measures.singular_value = singular.value;
  measures.singular_s = singular.share;
  measures.at_singular = path.on_chain(singular.share);
  return measures;
}

}  // namespace cellproof
