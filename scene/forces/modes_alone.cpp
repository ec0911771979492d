// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/modes_alone.hpp"

#include <algorithm>

#include "scene/forces/tipping_lines.hpp"

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

double over(double held, double demanded) {
  return demanded > 0 ? std::max(0.0, held / demanded) : infinity;
}

double pressing(const Wrench& load) {
  return -load[2];
}

double gripped(const Contacts& contacts) {
  double all = 0;
  for (const double grip : contacts.grips) all += grip;
  return all;
}

/// The moment (N mm) about an edge by which a load keeps the part on its rests.
double keeps_down(const TippingLine& edge, const Wrench& load) {
  return pressing(load) * edge.offset - edge.outward.dot(Vector2d(load[4], -load[3]));
}

/// The greatest moment about an edge by which the cut turns the part over it.
double turns_over(const CutRange& cut, const TippingLine& edge) {
  double most = -infinity;
  for (const Vector2d& place : cut.over) {
    const double inward = edge.inward(place);
    most = std::max(most, cut.side * cut.height + std::max(cut.lift * inward, -cut.thrust * inward));
  }
  return most;
}

HoldFactors against_weight(const FixtureCase& fixture, const std::vector<TippingLine>& edges) {
  const double friction = fixture.contacts.friction, press = pressing(fixture.constant);
  const double along = fixture.weight.head<2>().norm(), into = pressing(fixture.weight);
  HoldFactors factors{over(friction * press + gripped(fixture.contacts), along - friction * into), infinity,
                      over(press, -into)};
  for (const TippingLine& edge : edges)
    factors.tip = std::min(factors.tip, over(keeps_down(edge, fixture.constant), -keeps_down(edge, fixture.weight)));
  return factors;
}

}  // namespace

HoldFactors pressed_factors(const FixtureCase& fixture) {
  std::vector<Disk> rests;
  for (const Vector2d& rest : fixture.contacts.rests) rests.push_back({rest, 0});
  const std::vector<TippingLine> edges = tipping_lines(rests);
  HoldFactors factors;
  if (fixture.weight_only) {
    factors = against_weight(fixture, edges);
  } else {
    const CutRange& cut = fixture.cut;
    const double friction = fixture.contacts.friction, press = pressing(fixture.constant);
    const double along = fixture.constant.head<2>().norm();
    factors.slip = over(friction * press + gripped(fixture.contacts) - along, cut.side + friction * cut.lift);
    factors.lift = over(press, cut.lift);
    for (const TippingLine& edge : edges)
      factors.tip = std::min(factors.tip, over(keeps_down(edge, fixture.constant), turns_over(cut, edge)));
  }
  if (edges.empty()) factors.tip = std::numeric_limits<double>::quiet_NaN();
  return factors;
}

}  // namespace cellproof
