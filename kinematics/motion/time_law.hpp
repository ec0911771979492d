// SPDX-License-Identifier: GPL-3.0-or-later
// How the path parameter s runs from 0 to 1 in time, rest to rest.
#pragma once

#include <vector>

namespace cellproof {

/// s, ds/dt (1/s) and d2s/dt2 (1/s^2) at an instant.
struct LawPoint {
  double s = 0, rate = 0, rate_change = 0;
};

/// The rate at a place, for a law that is given by its rates.
struct RateAt {
  double s = 0, rate = 0;
};

/// Phases of constant acceleration, one after the other.
class TimeLaw {
 public:
  /// The law of a move that goes nowhere: no time, s = 1.
  TimeLaw() = default;
  /// Trapezoid (or triangle) of speed over the unit distance. With speed v and acceleration a:
  /// T = 1/v + v/a if a >= v², else 2/√a (Siciliano et al., 2009, §4.2.1).
  /// Both in units of the path parameter, both > 0 and finite.
  TimeLaw(double speed, double acceleration);
  /// Constant acceleration from each place to the next. At least three places, s rising from 0 to 1, the first and the
  /// last rate 0, all others > 0 and finite.
  explicit TimeLaw(const std::vector<RateAt>& places);

  double duration() const { return knots_.empty() ? 0 : knots_.back().time; }
  /// Time is held within [0, duration]. At a switch of acceleration the later value is given.
  LawPoint at(double time) const;
  /// The same with the earlier value at a switch.
  LawPoint before(double time) const;
  /// The instant (s) at which the path parameter reaches s.
  double time_at(double s) const;
  /// The instants (s) between which the acceleration is constant, 0 and the duration among them.
  std::vector<double> switches() const;
  /// The rate at each of these.
  std::vector<RateAt> places() const;

 private:
  struct LawKnot {
    double time = 0;
    LawPoint point;  ///< rate_change holds up to the next knot
  };
  LawPoint inside(std::size_t phase, double time) const;

  std::vector<LawKnot> knots_;  ///< none if the move goes nowhere
};

}  // namespace cellproof
