// SPDX-License-Identifier: GPL-3.0-or-later
// Evacuation and loss by small steps of the mass balance: moles go out and leak in, pressure follows from their number.
// Shares no formula with the product: no logarithm, no pieces, the hose's flow found by halving.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/cell/vacuum_flow.hpp"

namespace cellproof::oracle {

constexpr double gas_constant = 8.314462618, kelvin = 293.15;

/// m^3/s of free air that the source draws at a vacuum (Pa), read off its curve.
inline double drawn(const VacuumLine& line, double vacuum) {
  if (vacuum <= line.flow.front().vacuum) return 1e-9 * line.flow.front().flow;
  for (std::size_t i = 1; i < line.flow.size(); ++i) {
    const FlowPoint &low = line.flow[i - 1], &high = line.flow[i];
    if (vacuum <= high.vacuum)
      return 1e-9 * (low.flow + (high.flow - low.flow) * ((vacuum - low.vacuum) / (high.vacuum - low.vacuum)));
  }
  return 0;
}

/// m^3/s of free air through the hose between two absolute pressures (Pa): the quarter of an ellipse of ISO 6358.
inline double through_hose(const VacuumLine& line, double before, double behind) {
  const double d = line.hose->bore / 1000, l = line.hose->length / 1000;
  const double c = 0.029 * d * d / std::sqrt(l / std::pow(d, 1.25) + 510), b = 474 * c / (d * d);
  const double ratio = behind / before;
  const double share = ratio <= b ? 1 : std::sqrt(std::max(0.0, 1 - std::pow((ratio - b) / (1 - b), 2)));
  return c * before * 1e5 / line.ambient * share;
}

/// m^3/s of free air drawn from zones at an absolute pressure: where source and hose agree.
inline double drawn_from_zones(const VacuumLine& line, double pressure) {
  if (!line.hose) return drawn(line, line.ambient - pressure);
  double low = std::max(0.0, line.ambient - line.flow.back().vacuum), high = pressure;  // behind the hose
  if (low >= high) return 0;
  // At the end of a curve that still draws, the hose alone decides.
  if (through_hose(line, pressure, low) < drawn(line, line.ambient - low)) return through_hose(line, pressure, low);
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (through_hose(line, pressure, middle) > drawn(line, line.ambient - middle) ? low : high) = middle;
  }
  return drawn(line, line.ambient - high);
}

/// s until the zones are at a vacuum, infinite after `most` steps: midpoint steps, each of a share of what lies
/// between.
inline double evacuation(const VacuumLine& line, double volume_mm3, double to, double share = 2e-4,
                         long most = 4'000'000) {
  const double volume = 1e-9 * volume_mm3, per_mole = gas_constant * kelvin / volume;
  double moles = line.ambient / per_mole, time = 0;
  const double end = (line.ambient - to) / per_mole, first = moles;
  const auto rate = [&](double n) {  // mol/s
    return (drawn_from_zones(line, n * per_mole) - 1e-9 * line.leak) * line.ambient / (gas_constant * kelvin);
  };
  for (long step = 0; step < most; ++step) {
    if (moles <= end) return time;
    const double now = rate(moles);
    if (!(now > 0)) return std::numeric_limits<double>::infinity();
    // No more than a share of the way, and no more than changes the rate by that share.
    double dt = share * (first - end) / now;
    const double later = rate(moles - now * dt);
    if (std::abs(now - later) > share * 10 * now) dt *= share * 10 * now / std::abs(now - later);
    const double middle = rate(moles - 0.5 * dt * now);
    if (!(middle > 0)) return std::numeric_limits<double>::infinity();
    if (moles - dt * middle <= end) return time + (moles - end) / middle;
    moles -= dt * middle;
    time += dt;
  }
  return std::numeric_limits<double>::infinity();
}

/// s until leaking in has let the vacuum fall from one to another.
inline double loss(double ambient, double leak_mm3_s, double volume_mm3, double from, double to) {
  const double per_mole = gas_constant * kelvin / (1e-9 * volume_mm3);
  const double in = 1e-9 * leak_mm3_s * ambient / (gas_constant * kelvin);  // mol/s
  double moles = (ambient - from) / per_mole, time = 0;
  const double end = (ambient - to) / per_mole, dt = (end - moles) / in / 10000;
  while (moles < end && dt > 0) {
    moles += in * dt;
    time += dt;
  }
  return time;
}

}  // namespace cellproof::oracle
