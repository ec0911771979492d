// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/clasped_hold.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

double over(double held, double demanded) {
  return demanded > 0 ? held / demanded : infinity;
}

double side_in_all(const ClaspedCase& hold) {
  return hold.side + hold.weight_along;
}

double tipping_moment(const ClaspedCase& hold, const TippingLine& edge) {
  double furthest = 0;
  for (const Vector2d& place : hold.over) furthest = std::max(furthest, edge.inward(place));
  return side_in_all(hold) * hold.height + hold.lift * furthest;
}

}  // namespace

HoldFactors clasped_factors(const ClaspedCase& hold) {
  const double lifted = std::max(0.0, hold.lift - hold.weight);
  HoldFactors factors{over(hold.friction_force, std::hypot(side_in_all(hold), lifted)), infinity,
                      over(hold.friction_force + hold.weight, hold.lift)};
  for (const TippingLine& edge : hold.edges)
    factors.tip = std::min(factors.tip, over(hold.friction_force * edge.inward(hold.jaw_middle) +
                                                 hold.weight * edge.inward(hold.mass_centre),
                                             tipping_moment(hold, edge)));
  if (hold.edges.empty()) factors.tip = std::numeric_limits<double>::quiet_NaN();
  return factors;
}

double clasping_needed(const ClaspedCase& hold, double factor) {
  if (!(hold.friction_force > 0)) return infinity;
  double needed = std::max(factor / clasped_factors(hold).slip * hold.friction_force, factor * hold.lift - hold.weight);
  for (const TippingLine& edge : hold.edges) {
    const double missing = factor * tipping_moment(hold, edge) - hold.weight * edge.inward(hold.mass_centre);
    const double lever = edge.inward(hold.jaw_middle);
    if (missing > 0) needed = std::max(needed, lever > 0 ? missing / lever : infinity);
  }
  return needed / hold.friction_force;
}

}  // namespace cellproof
