// SPDX-License-Identifier: GPL-3.0-or-later
// How the path parameter s runs from 0 to 1 in time, rest to rest.
#pragma once

namespace cellproof {

/// s, ds/dt (1/s) and d2s/dt2 (1/s^2) at an instant.
struct LawPoint {
  double s = 0, rate = 0, rate_change = 0;
};

/// Trapezoid (or triangle) of speed over the unit distance. With speed v and acceleration a:
/// T = 1/v + v/a if a >= v², else 2/√a (Siciliano et al., 2009, §4.2.1).
class TimeLaw {
 public:
  /// The law of a move that goes nowhere: no time, s = 1.
  TimeLaw() = default;
  /// Both in units of the path parameter, both > 0 and finite.
  TimeLaw(double speed, double acceleration);

  double duration() const { return duration_; }
  /// Time is held within [0, duration]. At a switch of acceleration the later value is given.
  LawPoint at(double time) const;
  /// The instant (s) at which the path parameter reaches s.
  double time_at(double s) const;

 private:
  double speed_ = 0, acceleration_ = 0, blend_ = 0, duration_ = 0;
};

}  // namespace cellproof
