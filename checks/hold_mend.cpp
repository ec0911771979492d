// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/hold_mend.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "checks/grip_mend.hpp"
#include "scene/forces/outlines_of_few.hpp"
#include "scene/forces/seen_on_seat.hpp"

namespace cellproof {

namespace {

double factor_of(const HoldMeasure& measure, const FixtureCase& fixture) {
  const HoldFactors alone = pressed_factors(fixture);
  return measure.limit ? fixture_limit(fixture).factor : std::min(alone.slip, alone.lift);
}

double factor_of(const HoldMeasure& measure, const ClaspedCase& clasped) {
  return measure.rests_known && measure.rests.empty() ? 0 : least_of(clasped_factors(clasped));
}

FixtureCase with_force(FixtureCase fixture, double times) {
  const Wrench force = fixture.weight_only ? fixture.constant : Wrench(fixture.constant - fixture.weight);
  fixture.constant += (times - 1) * force;
  for (double& grip : fixture.contacts.grips) grip *= times;
  return fixture;
}

/// The value nearest `enough` that does, between one that does not and one that does, to 1 in 500.
template <class Does>
double least_that_does(double does_not, double enough, const Does& does) {
  while (std::abs(enough - does_not) > 0.002 * std::abs(enough)) {
    const double middle = (does_not + enough) / 2;
    (does(middle) ? enough : does_not) = middle;
  }
  return enough;
}

/// How many times the force of now; nothing where no force does it.
std::optional<double> times_needed(const HoldMeasure& measure, double asked) {
  if (!(measure.force > 0)) return std::nullopt;
  if (const auto* clasped = std::get_if<ClaspedCase>(&measure.asked)) {
    const double times = clasping_needed(*clasped, asked);
    return times * measure.force <= most_newton ? std::optional(times) : std::nullopt;
  }
  const auto& fixture = std::get<FixtureCase>(measure.asked);
  const auto does = [&](double times) { return factor_of(measure, with_force(fixture, times)) >= asked; };
  for (double times = 2; times * measure.force <= most_newton; times *= 2)
    if (does(times)) return least_that_does(times / 2, times, does);
  return std::nullopt;
}

std::string stronger(const Cell& cell, const Hold& hold, double times) {
  if (!hold.suction.empty()) return stronger_suction(cell, hold.suction, times, times);
  if (!is_clasped(hold)) return fmt::format("{:g} times the force of each clamp", rounded_up(times));
  const Jaw& jaw = *std::ranges::find(cell.jaws, hold.jaw, &Jaw::name);
  return stronger_jaw(jaw, times);
}

std::string lighter(const HoldMeasure& measure, const FixtureCase& fixture, double asked) {
  if (fixture.weight_only || !(fixture.cut.side > 0)) return {};
  const auto does = [&](double side) {
    FixtureCase tried = fixture;
    tried.cut.side = side;
    return factor_of(measure, tried) >= asked;
  };
  if (!does(0)) return "; a lighter side force alone can't do it";
  double side = fixture.cut.side / 2, too_much = fixture.cut.side;
  while (!does(side) && side > 1e-3 * fixture.cut.side) {
    too_much = side;
    side /= 2;
  }
  if (!does(side)) return "; a lighter side force alone can't do it";
  return fmt::format("; or a lighter cut: side force at most {:g} N",
                     rounded_down(least_that_does(too_much, side, does)));
}

/// The greatest depth of a mill's cut up to which all that are tried hold, a sixteenth of its own apart at first.
std::string shallower(const HoldMeasure& measure, const Hold& hold, double asked) {
  if (!hold.cut || !hold.cut->cutter) return {};
  const double depth = hold.cut->cutter->depth;
  const auto does = [&](double tried) {
    Cut cut = *hold.cut;
    cut.cutter->depth = tried;
    return std::visit([&](const auto& held) { return factor_of(measure, with_cut(held, cut_forces(cut))) >= asked; },
                      measure.asked);
  };
  int part = 1;
  while (part < 16 && does(depth * part / 16)) ++part;
  double too_deep = depth * part / 16, holds = depth * (part - 1) / 16;
  if (part == 1) {
    holds = too_deep / 2;
    while (!does(holds) && holds > 1e-3 * depth) {
      too_deep = holds;
      holds /= 2;
    }
    if (!does(holds)) return "; a cut less deep alone can't do it";
  }
  const double deepest = rounded_down(least_that_does(too_deep, holds, does), 2);
  return does(deepest) ? fmt::format("; or depth at most {:g} mm", deepest) : std::string();
}

/// A rest at another place, or one more: the best of those at the corners and the middles of the sides of what the part
/// covers, 5 mm or a tenth of the way inward, where the part is over them.
std::string another_rest(const HoldMeasure& measure, const FixtureCase& fixture, double asked) {
  constexpr std::size_t most_rests = 4;
  const auto& rests = fixture.contacts.rests;
  if (!measure.limit || measure.rests_found || rests.empty() || rests.size() > most_rests) return {};
  const std::vector<Vector2d> outline = outline_around(measure.outline, 4);
  Vector2d middle = Vector2d::Zero();
  for (const Vector2d& corner : outline) middle += corner / static_cast<double>(outline.size());
  std::vector<Vector2d> places;
  for (std::size_t i = 0; i < outline.size(); ++i)
    for (const Vector2d& at : {outline[i], Vector2d((outline[i] + outline[(i + 1) % outline.size()]) / 2)}) {
      const Vector2d in = middle - at;
      const Vector2d inward = at + in * std::min(0.1, 5 / std::max(in.norm(), 1e-9));
      const Vector2d place(std::round(inward.x()), std::round(inward.y()));
      if (top_at(measure.meshes, place)) places.push_back(place);
    }
  double best = std::max(measure.factor * 1.1, 0.01);
  std::string text;
  const auto take = [&](const FixtureCase& tried, const std::string& what) {
    const double factor = fixture_limit(tried).factor;
    if (!(factor > best)) return;
    best = factor;
    text = std::isfinite(factor) ? fmt::format("; or {}, which holds {:.2f} times{}", what, rounded_down(factor),
                                               factor < asked ? " and is not enough alone" : "")
                                 : fmt::format("; or {}", what);
  };
  for (const Vector2d& place : places) {
    FixtureCase tried = fixture;
    tried.contacts.rests.push_back(place);
    take(tried, fmt::format("one more rest at ({:g}, {:g}) mm", place.x(), place.y()));
    for (std::size_t i = 0; i < rests.size(); ++i) {
      FixtureCase moved = fixture;
      moved.contacts.rests[i] = place;
      take(moved, fmt::format("the rest at ({:g}, {:g}) mm moved to ({:g}, {:g}) mm", rests[i].x(), rests[i].y(),
                              place.x(), place.y()));
    }
  }
  return text;
}

}  // namespace

std::string hold_mend(const Cell& cell, const Hold& hold, const HoldMeasure& measure) {
  const double asked = cell.rules.hold_factor;
  const auto times = times_needed(measure, asked);
  std::string text = times ? stronger(cell, hold, *times) : "more force does not help there";
  const auto* fixture = std::get_if<FixtureCase>(&measure.asked);
  if (!fixture) return text + shallower(measure, hold, asked);
  text += lighter(measure, *fixture, asked) + shallower(measure, hold, asked) + another_rest(measure, *fixture, asked);
  const bool along = !measure.limit || measure.limit->gives == Gives::slide || measure.limit->gives == Gives::turn;
  return along ? text + "; or hard stops that take the side force" : text;
}

}  // namespace cellproof
