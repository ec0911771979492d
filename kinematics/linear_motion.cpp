// SPDX-License-Identifier: GPL-3.0-or-later
// The timing of a followed line. A law slowed to a share x of its speed and x² of its acceleration is the same law in
// slower time: at every point of the path joint speeds fall by x and joint accelerations by x².
#include <algorithm>
#include <cmath>

#include "kinematics/motion.hpp"

namespace cellproof {
namespace {

TimeLaw tool_law(const LinearTarget& line, const SpeedSettings& settings) {
  double rate = std::numeric_limits<double>::infinity(), acceleration = rate;
  const auto hold = [&](double size, double greatest_speed, double greatest_acceleration) {
    if (size <= 0) return;
    rate = std::min(rate, greatest_speed / size);
    acceleration = std::min(acceleration, greatest_acceleration / size);
  };
  hold(line.distance_mm(), settings.tool_speed, settings.tool_acceleration);
  hold(line.angle(), settings.tool_turn, settings.tool_turn_acceleration);
  return {rate, acceleration};
}

/// The joint that most needs the law slowed at s, and by how much (1: just at its limit).
struct Demand {
  double slowing = 0, s = 0;
  int joint = -1;
};

Demand demand_at(const Arm& arm, const PathPoint& point, double s, double rate, double rate_change) {
  Demand worst{0, s, -1};
  for (int j = 0; j < 6; ++j) {
    const JointLimits& limit = arm.limits[static_cast<std::size_t>(j)];
    const double speed = std::abs(point.first[j] * rate);
    const double acceleration = std::abs(point.first[j] * rate_change + point.second[j] * rate * rate);
    const double slowing = std::max(speed / limit.speed, std::sqrt(acceleration / limit.acceleration));
    if (slowing > worst.slowing) worst = {slowing, s, j};
  }
  return worst;
}

/// A stretch of the path over which the law's acceleration is constant, so that the demand is smooth.
struct Phase {
  double from = 0, to = 1, rate_change = 0;
};

std::vector<Phase> phases_of(const TimeLaw& law) {
  const double acceleration = law.at(0).rate_change, peak_rate = law.at(law.duration() / 2).rate;
  const double blend = std::min(0.5, peak_rate * peak_rate / (2 * acceleration));
  std::vector<Phase> phases{{0, blend, acceleration}, {1 - blend, 1, -acceleration}};
  if (blend < 0.5) phases.push_back({blend, 1 - blend, 0});
  return phases;
}

std::vector<double> sample_places(const Path& path, const Phase& phase) {
  std::vector<double> places{phase.from};
  const auto add = [&](double s) {
    if (s > phase.from && s < phase.to) places.push_back(s);
  };
  for (std::size_t i = 1; i < path.knots().size(); ++i) {
    add((path.knots()[i - 1].s + path.knots()[i].s) / 2);
    add(path.knots()[i].s);
  }
  places.push_back(phase.to);
  return places;
}

/// Golden-section search for the greatest demand between two places.
template <typename DemandAt>
Demand refined(const DemandAt& demand, double low, double high) {
  constexpr double golden = 0.6180339887498949;
  constexpr int rounds = 24;
  Demand inner = demand(high - golden * (high - low)), outer = demand(low + golden * (high - low));
  for (int round = 0; round < rounds; ++round) {
    if (inner.slowing > outer.slowing) {
      high = outer.s;
      outer = inner;
      inner = demand(high - golden * (high - low));
    } else {
      low = inner.s;
      inner = outer;
      outer = demand(low + golden * (high - low));
    }
  }
  return inner.slowing > outer.slowing ? inner : outer;
}

Demand worst_in_phase(const Arm& arm, const Path& path, const TimeLaw& law, const Phase& phase) {
  const auto demand = [&](double s) {
    return demand_at(arm, path.at(arm, s), s, law.at(law.time_at(s)).rate, phase.rate_change);
  };
  std::vector<Demand> samples;
  for (const double s : sample_places(path, phase)) samples.push_back(demand(s));
  const auto less = [](const Demand& a, const Demand& b) { return a.slowing < b.slowing; };
  Demand worst = *std::max_element(samples.begin(), samples.end(), less);
  const double near_worst = 0.95 * worst.slowing;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const Demand &before = samples[i > 0 ? i - 1 : 0], &after = samples[std::min(i + 1, samples.size() - 1)];
    const bool summit = !less(samples[i], before) && !less(samples[i], after);
    if (summit && samples[i].slowing > near_worst && samples[i].slowing > 0.9) {
      worst = std::max(worst, refined(demand, before.s, after.s), less);
    }
  }
  return worst;
}

}  // namespace

LinearTiming linear_motion(const Arm& arm, const Path& path, const SpeedSettings& settings) {
  LinearTiming timing;
  timing.motion.path = path;
  if (path.goes_nowhere()) return timing;
  const TimeLaw asked = tool_law(path.target(), settings);
  Demand worst;
  for (const Phase& phase : phases_of(asked)) {
    const Demand demand = worst_in_phase(arm, path, asked, phase);
    if (demand.slowing > worst.slowing) worst = demand;
  }
  timing.asked_rate = asked.at(asked.duration() / 2).rate;
  timing.rate = timing.asked_rate;
  timing.motion.law = asked;
  if (worst.slowing <= 1) return timing;
  const double slowing = worst.slowing * (1 + 1e-6);
  timing.rate = timing.asked_rate / slowing;
  timing.motion.law = TimeLaw(timing.rate, asked.at(0).rate_change / (slowing * slowing));
  timing.slowest_joint = worst.joint;
  timing.slowest_s = worst.s;
  return timing;
}

}  // namespace cellproof
