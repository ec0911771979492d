// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/holding_force.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

double over(double held, double demanded) {
  return demanded > 0 ? held / demanded : infinity;
}

double side_in_all(const HoldCase& hold) {
  return hold.side + hold.weight_along;
}

double furthest_inward(const HoldCase& hold, const TippingLine& edge) {
  double furthest = 0;
  for (const Vector2d& corner : hold.corners) furthest = std::max(furthest, edge.inward(corner));
  return furthest;
}

double tipping_moment(const HoldCase& hold, const TippingLine& edge) {
  return side_in_all(hold) * hold.height + hold.lift * furthest_inward(hold, edge);
}

double tip_factor(const HoldCase& hold) {
  if (hold.edges.empty()) return std::numeric_limits<double>::quiet_NaN();
  double least = infinity;
  for (const TippingLine& edge : hold.edges)
    least =
        std::min(least, over(hold.force * edge.inward(hold.force_centre) + hold.weight * edge.inward(hold.mass_centre),
                             tipping_moment(hold, edge)));
  return least;
}

}  // namespace

HoldFactors pressed_factors(const HoldCase& hold) {
  const double pressing = hold.force + hold.weight;
  return {over(pressing, hold.lift + side_in_all(hold) / hold.friction), tip_factor(hold), over(pressing, hold.lift)};
}

HoldFactors clasped_factors(const HoldCase& hold) {
  const double lifted = std::max(0.0, hold.lift - hold.weight);
  return {over(hold.force, std::hypot(side_in_all(hold), lifted)), tip_factor(hold),
          over(hold.force + hold.weight, hold.lift)};
}

double pressing_needed(const HoldCase& hold, double factor) {
  double needed = std::max(factor * (hold.lift + side_in_all(hold) / hold.friction), factor * hold.lift) - hold.weight;
  for (const TippingLine& edge : hold.edges) {
    const double missing = factor * tipping_moment(hold, edge) - hold.weight * edge.inward(hold.mass_centre);
    const double lever = edge.inward(hold.force_centre);
    if (missing > 0) needed = std::max(needed, lever > 0 ? missing / lever : infinity);
  }
  return needed;
}

double side_allowed(const HoldCase& hold, double factor) {
  double allowed = ((hold.force + hold.weight) / factor - hold.lift) * hold.friction;
  for (const TippingLine& edge : hold.edges) {
    const double held = hold.force * edge.inward(hold.force_centre) + hold.weight * edge.inward(hold.mass_centre);
    const double left = held / factor - hold.lift * furthest_inward(hold, edge);
    if (hold.height > 0)
      allowed = std::min(allowed, left / hold.height);
    else if (left < 0)
      allowed = std::min(allowed, left);
  }
  return allowed - hold.weight_along;
}

}  // namespace cellproof
