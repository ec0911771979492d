// SPDX-License-Identifier: GPL-3.0-or-later
// A run of the cycle as a line to move along: its steps, where they begin and end, and what was found where.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

/// A step of the cell file: the stretches that it is made of, together. Empty steps (a look) have start_s == end_s.
struct TimelineStep {
  std::string name;
  double start_s = 0, end_s = 0;
};

struct TimelineMark {
  std::size_t finding = 0;  ///< into the report's findings
  Severity severity = Severity::fail;
  double time_s = 0;
};

/// Time beside place: `place` runs along the line in seconds as they are shown.
struct TimeKnot {
  double time_s = 0, place = 0;
};

/// Waits in which nothing moves are drawn short: 180 s of milling would leave no room for the moves.
class TimeAxis {
 public:
  TimeAxis() : knots_{{0, 0}, {0, 0}} {}
  /// At least two knots, both columns rising or equal.
  explicit TimeAxis(std::vector<TimeKnot> knots) : knots_(std::move(knots)) {}
  double place_of(double time_s) const;  ///< held within the line
  double time_of(double place) const;    ///< held within the line
  double length() const { return knots_.back().place; }
  const std::vector<TimeKnot>& knots() const { return knots_; }

 private:
  std::vector<TimeKnot> knots_;
};

struct Timeline {
  std::string run;
  std::string others;  ///< as a finding's
  double duration_s = 0;
  TimeAxis axis;
  std::vector<TimelineStep> steps;
  std::vector<TimelineMark> marks;  ///< by time; findings of this run that have a time
};

/// A still stretch is drawn at most this long.
inline constexpr double longest_still_s = 3;

Timeline timeline_of(const Proof& proof, std::size_t run);

/// The step shown at a time: the last that has begun; none without steps.
std::optional<std::size_t> step_at(const Timeline& timeline, double time_s);

}  // namespace cellproof
