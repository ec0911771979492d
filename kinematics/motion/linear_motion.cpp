// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <limits>

#include "kinematics/motion/motion.hpp"

namespace cellproof {
namespace {

/// The tool's limits by the path parameter: along a line its twist by s is constant.
ToolPace tool_pace(const LinearTarget& line, const SpeedSettings& settings) {
  double rate = std::numeric_limits<double>::infinity(), change = rate;
  const auto hold = [&](double size, double greatest_speed, double greatest_acceleration) {
    if (size <= 0) return;
    rate = std::min(rate, greatest_speed / size);
    change = std::min(change, greatest_acceleration / size);
  };
  hold(line.distance_mm(), settings.tool_speed, settings.tool_acceleration);
  hold(line.angle(), settings.tool_turn, settings.tool_turn_acceleration);
  return {rate, change};
}

}  // namespace

LinearTiming linear_motion(const Arm& arm, const Path& path, const SpeedSettings& settings) {
  LinearTiming timing;
  timing.motion.path = path;
  if (path.goes_nowhere()) return timing;
  const ToolPace pace = tool_pace(path.target(), settings);
  FastestLaw fastest = fastest_law(arm, path, pace);
  timing.motion.law = std::move(fastest.law);
  timing.line = {fastest.held_back, pace, TimeLaw(pace.rate, pace.rate_change).duration()};
  return timing;
}

}  // namespace cellproof
