// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path_measures.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "kinematics/forward.hpp"
#include "kinematics/numbered.hpp"

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
    if (since > 0 && since + turn > step) {
      shares.push_back(knots[i - 1].s);
      since = 0;
    }
    since += turn;
    if (since < step && i + 1 < knots.size()) continue;  // knots of a line lie closer than is needed
    since = 0;
    for (int k = 1; k <= pieces; ++k) shares.push_back(knots[i - 1].s + (knots[i].s - knots[i - 1].s) * k / pieces);
  }
  return shares;
}

struct Least {
  double share = 0, value = 0;
};

/// Golden section between two neighbours of a sample.
Least refined(Least least, double low, double high, const std::function<double(double)>& measure) {
  const double golden = 0.5 * (std::sqrt(5.0) - 1);
  for (int i = 0; i < 40 && high > low; ++i) {
    const double a = high - golden * (high - low), b = low + golden * (high - low);
    const double at_a = measure(a), at_b = measure(b);
    if (at_a < least.value) least = {a, at_a};
    if (at_b < least.value) least = {b, at_b};
    (at_a < at_b ? high : low) = at_a < at_b ? b : a;
  }
  return least;
}

/// The least about every sample that is lower than its neighbours: between two samples the measure may dip to zero.
Least least_along(const std::vector<double>& shares, const std::function<double(double)>& measure) {
  std::vector<double> values;
  for (const double share : shares) values.push_back(measure(share));
  const auto best = place_in(values, std::min_element(values.begin(), values.end()));
  Least least{shares[best], values[best]};
  for (std::size_t i = 0; i < shares.size(); ++i) {
    const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, shares.size() - 1);
    if (values[i] > values[before] || values[i] > values[after]) continue;
    const double slope = std::max(values[before], values[after]) - values[i];
    if (!(values[i] - 2 * slope < (1 - 1e-9) * least.value)) continue;  // flat, or can't fall below what is found
    const Least mine = refined({shares[i], values[i]}, shares[before], shares[after], measure);
    if (mine.value < least.value) least = mine;
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
