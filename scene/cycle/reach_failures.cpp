// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/reach_failures.hpp"

#include <stdexcept>

#include <fmt/format.h>

#include "scene/cycle/line_legs.hpp"

namespace cellproof {

namespace {

std::string mend_of(const Shortfall& found) {
  switch (found.stop) {
    case ReachStop::nothing:
      break;
    case ReachStop::outside_reach:
      return fmt::format("bring the seat and the arm at least {:.1f} mm closer together", found.nearest.position_mm);
    case ReachStop::dead_zone:
      return fmt::format("move the seat and the arm at least {:.1f} mm apart", found.nearest.position_mm);
    case ReachStop::turn:
      return fmt::format("turn the tool or the seat by {:.1f} deg, or move the seat or the arm",
                         degrees(found.nearest.angle));
    case ReachStop::limit:
      return "turn the seat or the grasp, or move the seat or the arm";
  }
  return {};
}

}  // namespace

PlanFailure unreached(const Leg& leg, const Shortfall& found) {
  if (found.stop == ReachStop::nothing)
    throw std::logic_error("a pose that nothing stops the arm from is called unreachable");
  const bool limits = found.stop == ReachStop::limit;
  PlanFailure failure = failure_at(leg, limits ? PlanFailure::Why::limits : PlanFailure::Why::out_of_reach);
  failure.measured = limits ? -degrees(found.over_limit) : found.nearest.position_mm;
  failure.required = 0;
  failure.unit = limits ? "deg" : "mm";
  failure.message = "no joint solution: " + described(found);
  failure.mend = mend_of(found);
  return failure;
}

}  // namespace cellproof
