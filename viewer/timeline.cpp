// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/timeline.hpp"

#include <algorithm>

#include "checks/figures.hpp"
#include "viewer/finding_places.hpp"

namespace cellproof {

namespace {

/// Piecewise linear from one column to the other, held within the ends.
double carried_over(const std::vector<TimeKnot>& knots, double TimeKnot::*from, double TimeKnot::*to, double value) {
  const auto next = std::upper_bound(knots.begin(), knots.end(), value,
                                     [from](double v, const TimeKnot& knot) { return v < knot.*from; });
  if (next == knots.begin()) return knots.front().*to;
  if (next == knots.end()) return knots.back().*to;
  const TimeKnot &a = *std::prev(next), &b = *next;
  return a.*to + (b.*to - a.*to) * (value - a.*from) / (b.*from - a.*from);
}

bool still(const Stretch& stretch) {
  return stretch.motion.path.goes_nowhere() && stretch.shifts.empty();
}

TimeAxis axis_of(const CycleRun& run) {
  std::vector<TimeKnot> knots{{0, 0}};
  for (const Stretch& stretch : run.stretches) {
    const double length = stretch.end_s - stretch.start_s;
    const double shown = still(stretch) ? std::min(length, longest_still_s) : length;
    knots.push_back({stretch.end_s, knots.back().place + shown});
  }
  if (knots.size() == 1) knots.push_back(knots.front());
  return TimeAxis(std::move(knots));
}

std::vector<TimelineStep> steps_of(const CycleRun& run) {
  std::vector<TimelineStep> steps;
  StepId last;
  for (const Stretch& stretch : run.stretches) {
    if (steps.empty() || stretch.step_index != last) steps.push_back({stretch.step, stretch.start_s, stretch.start_s});
    steps.back().end_s = stretch.end_s;
    last = stretch.step_index;
  }
  return steps;
}

}  // namespace

double TimeAxis::place_of(double time_s) const {
  return carried_over(knots_, &TimeKnot::time_s, &TimeKnot::place, time_s);
}

double TimeAxis::time_of(double place) const {
  return carried_over(knots_, &TimeKnot::place, &TimeKnot::time_s, place);
}

Timeline timeline_of(const Proof& proof, std::size_t run) {
  const CycleRun& planned = proof.cycle->runs[run];
  Timeline timeline;
  timeline.run = planned.name;
  timeline.others = others_told(proof.scene->cell, planned);
  timeline.duration_s = planned.duration_s;
  timeline.axis = axis_of(planned);
  timeline.steps = steps_of(planned);
  const auto& findings = proof.report.findings;
  for (std::size_t i = 0; i < findings.size(); ++i)
    if (const auto place = place_of_finding(proof, i); place && place->run == run)
      timeline.marks.push_back({i, findings[i].severity, place->time_s});
  std::ranges::stable_sort(timeline.marks, {}, &TimelineMark::time_s);
  return timeline;
}

std::optional<std::size_t> step_at(const Timeline& timeline, double time_s) {
  const auto later = std::upper_bound(timeline.steps.begin(), timeline.steps.end(), time_s,
                                      [](double time, const TimelineStep& step) { return time < step.start_s; });
  if (later == timeline.steps.begin()) return timeline.steps.empty() ? std::nullopt : std::optional<std::size_t>(0);
  return static_cast<std::size_t>(std::prev(later) - timeline.steps.begin());
}

}  // namespace cellproof
