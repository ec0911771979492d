// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/readings.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "viewer/desk/panel_style.hpp"

namespace cellproof {

namespace {

constexpr double left = 12, size = 12;

void draw_gap(Canvas& canvas, const ReadingsContent& content, int width) {
  const Lettering words = panel::letters(size, panel::faint);
  if (!content.gap) {
    canvas.text({left, 18}, "no checked pair at this instant", words);
    return;
  }
  const bool fails = content.gap->lower_mm < content.rule_mm;
  const Colour& colour = !content.gap_is_new ? panel::faint : fails ? panel::fails : panel::passes;
  canvas.text({left, 20}, length_text(content.gap->lower_mm, content.unit), panel::letters(17, colour, true));
  canvas.text({left + 122, 19},
              fmt::format("{} · {} asked", fails ? "too close" : "clear", length_text(content.rule_mm, content.unit)),
              words);
  const std::string pair = fmt::format("{} / {}", content.gap->between[0], content.gap->between[1]);
  canvas.text({left, 37}, shortened(canvas, pair, panel::letters(size), width - 2 * left), panel::letters(size));
}

void draw_speeds(Canvas& canvas, const ReadingsContent& content, int width) {
  const Moment& moment = content.moment;
  const std::string speed =
      fmt::format("{} moves {}, turns {}°/s", moment.tcp.empty() ? "flange" : moment.tcp,
                  speed_text(moment.tool_speed, content.unit), figure(degrees(moment.tool_turn_speed), 0));
  const std::string hand = moment.held_part.empty() ? "nothing in hand" : "in hand: " + moment.held_part;
  const Lettering lettering = panel::letters(size);
  canvas.text({left, 57}, shortened(canvas, speed + " · " + hand, lettering, width - 2 * left), lettering);
}

/// Value, and where it is between its limits; the tenth next to a limit is marked.
void draw_joint(Canvas& canvas, const ReadingsContent& content, int joint, double base, int width) {
  const JointLimits& limits = entry(content.scene.cell.arm.arm.limits, joint);
  const double value = content.moment.joints[joint];
  const double share = std::clamp((value - limits.min) / (limits.max - limits.min), 0.0, 1.0);
  canvas.text({left, base}, fmt::format("J{}", joint + 1), panel::letters(size, panel::faint));
  const std::string angle = figure(degrees(value), 1) + "°";
  const Lettering lettering = panel::letters(size);
  canvas.text({left + 78 - canvas.width_of(angle, lettering), base}, angle, lettering);
  const double from = left + 128, to = width - 112.0, middle = base - 4;
  const auto limit = [](double radian) { return figure(degrees(radian), 0); };
  const Lettering small = panel::letters(10, panel::faint);
  canvas.text({from - 6 - canvas.width_of(limit(limits.min), small), base - 1}, limit(limits.min), small);
  canvas.text({to + 6, base - 1}, limit(limits.max), small);
  canvas.fill({from, middle - 2, to - from, 4}, panel::line);
  const bool near_limit = share < 0.05 || share > 0.95;
  canvas.fill({from + share * (to - from) - 2, middle - 6, 4, 12}, near_limit ? panel::care : panel::passes);
  const double of_speed = std::abs(content.moment.joint_speeds[joint]) / limits.speed;
  const std::string speed = fmt::format("{:.0f} % speed", 100 * of_speed);
  canvas.text({width - left - canvas.width_of(speed, small), base - 1}, speed, small);
}

}  // namespace

Image draw_readings(const ReadingsContent& content, int width, int height) {
  Image image = blank_image(width, height, panel::back);
  Canvas canvas(image);
  draw_gap(canvas, content, width);
  draw_speeds(canvas, content, width);
  for (int joint = 0; joint < 6; ++joint) draw_joint(canvas, content, joint, 77.0 + 17 * joint, width);
  return image;
}

}  // namespace cellproof
