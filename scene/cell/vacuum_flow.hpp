// SPDX-License-Identifier: GPL-3.0-or-later
// How far and how fast a source of vacuum draws a volume down, and how fast a leak lets it rise again.
#pragma once

#include <optional>
#include <vector>

namespace cellproof {

/// What a source draws at a vacuum: free air, as it is at ambient pressure.
struct FlowPoint {
  double vacuum = 0;  ///< Pa below ambient
  double flow = 0;    ///< mm^3/s
};

struct Hose {
  double length = 0, bore = 0;  ///< mm
};
double hose_volume(const Hose& hose);  ///< mm^3

/// ISO 6358-3's estimate for a straight tube, from memory: C = 0.029 D²/√(L/D^1.25 + 510), b = 474 C/D² in SI.
struct Conductance {
  double sonic = 0;           ///< m^3/(s Pa), of air at 100 kPa and 20 °C
  double critical_ratio = 0;  ///< of the absolute pressures behind and before it, below which no more goes through
};
Conductance conductance(const Hose& hose);

/// A source with what lies between it and the zones. All volume and all leaks are taken to be at the zones' end.
struct VacuumLine {
  double ambient = 0;           ///< Pa
  std::vector<FlowPoint> flow;  ///< vacuum rising, flow falling. Below the first point as much as there, beyond the
                                ///< last nothing: less than what is known is never taken for more
  std::optional<Hose> hose;     ///< none: no resistance
  double leak = 0;              ///< mm^3/s of free air, at any vacuum
};

/// Pa below ambient at the zones, where the source draws what leaks. 0 if the leak is more than it ever draws.
double vacuum_reached(const VacuumLine& line);

/// s from ambient to the vacuum `to` (Pa below ambient) at the zones: V dp/dt = −p_a (flow − leak), isothermal. In
/// closed form over each straight piece; with a hose a bound from above, at most 0.5 % too long. Infinite at what is
/// reached and beyond.
double evacuation_time(const VacuumLine& line, double volume_mm3, double to);

/// s that the leak takes from one vacuum to a lesser one while nothing draws: V (from − to)/(p_a leak). Infinite
/// without a leak, 0 where `to` is not less.
double decay_time(const VacuumLine& line, double volume_mm3, double from, double to);

}  // namespace cellproof
