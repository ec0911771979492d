// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/timeline_strip.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "viewer/desk/panel_style.hpp"

namespace cellproof {

namespace {

constexpr double margin = 64;  // left and right of the line: names of the rows, figures
constexpr double steps_top = 6, steps_height = 30, signs_middle = 47, plot_top = 60, plot_foot = 8;

double line_width(int width) {
  return std::max(1.0, width - 2 * margin);
}

/// The strip with its content while it is drawn.
struct DrawnStrip {
  const StripContent& content;
  Canvas& canvas;
  int width, height;

  double column_of_share(double share) const { return margin + share * line_width(width); }
  double column_of(double time_s) const {
    const TimeAxis& axis = content.timeline.axis;
    return column_of_share(axis.length() > 0 ? axis.place_of(time_s) / axis.length() : 0);
  }
  double plot_bottom() const { return height - plot_foot; }
  double row_of(double mm) const {
    const double share = std::min(mm, content.plot.top_mm) / content.plot.top_mm;
    return plot_bottom() - share * (plot_bottom() - plot_top);
  }
};

void draw_steps(const DrawnStrip& strip) {
  const auto& steps = strip.content.timeline.steps;
  const std::optional<std::size_t> now = step_at(strip.content.timeline, strip.content.time_s);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const double left = strip.column_of(steps[i].start_s), right = strip.column_of(steps[i].end_s);
    const bool current = i == now;
    const Colour& colour = current ? panel::chosen : panel::raised;
    strip.canvas.fill({left + 0.5, steps_top, std::max(1.0, right - left - 1), steps_height}, colour);
    const Lettering lettering = panel::letters(11.5, current ? panel::text : panel::faint, current);
    const std::string words = shortened(strip.canvas, steps[i].name, lettering, right - left - 8);
    strip.canvas.text({left + 4, steps_top + 19}, words, lettering);
  }
}

/// Where time is drawn short: dots over the step.
void draw_folds(const DrawnStrip& strip) {
  const auto& knots = strip.content.timeline.axis.knots();
  for (std::size_t i = 1; i < knots.size(); ++i) {
    const double length = knots[i].time_s - knots[i - 1].time_s, shown = knots[i].place - knots[i - 1].place;
    if (length <= shown + 1e-9) continue;
    const double middle = (strip.column_of(knots[i - 1].time_s) + strip.column_of(knots[i].time_s)) / 2;
    const std::string words = fmt::format("{:.0f} s", length);
    const Lettering lettering = panel::letters(10, panel::faint);
    strip.canvas.text({middle - strip.canvas.width_of(words, lettering) / 2, steps_top + steps_height - 1}, words,
                      lettering);
  }
}

void draw_signs(const DrawnStrip& strip) {
  for (const TimelineMark& mark : strip.content.timeline.marks) {
    const double column = strip.column_of(mark.time_s);
    const bool chosen = strip.content.chosen == mark.finding;
    if (chosen) strip.canvas.disk({column, signs_middle}, 9, panel::chosen);
    panel::draw_sign(strip.canvas, mark.severity, {column, signs_middle}, chosen ? 5 : 4);
  }
}

void draw_curve(const DrawnStrip& strip) {
  for (const GapSpan& span : strip.content.plot.spans) {
    if (!std::isfinite(span.lower_mm)) continue;
    // Whole pixels: no seams between spans.
    const double left = std::round(strip.column_of_share(span.from));
    const double right = std::max(left + 1, std::round(strip.column_of_share(span.to)));
    const double row = strip.row_of(span.lower_mm);
    const bool short_of_rule = span.upper_mm < strip.content.plot.rule_mm;
    const Colour& colour = short_of_rule ? panel::fails : panel::passes;
    strip.canvas.fill({left, row, right - left, strip.plot_bottom() - row}, colour, short_of_rule ? 0.55 : 0.28);
    strip.canvas.line(std::array{Vector2d(left, row), Vector2d(right, row)}, {colour, short_of_rule ? 2.6 : 1.4});
  }
}

void draw_unproved(const DrawnStrip& strip) {
  strip.canvas.text({margin + 8, (plot_top + strip.plot_bottom()) / 2}, strip.content.unproved,
                    panel::letters(13, panel::care));
}

void draw_rule(const DrawnStrip& strip) {
  const double row = strip.row_of(strip.content.plot.rule_mm);
  strip.canvas.line(std::array{Vector2d(margin, row), Vector2d(strip.width - margin, row)},
                    {panel::care, 1.2, 0.9, true});
  const LengthUnit unit = strip.content.unit;
  const std::string rule =
      fmt::format("{:.{}f}", in_unit(strip.content.plot.rule_mm, unit), unit == LengthUnit::mm ? 0 : 2);
  strip.canvas.text({strip.width - margin + 6, row + 4}, "rule " + rule, panel::letters(11, panel::care));
  strip.canvas.text({strip.width - margin + 6, plot_top + 9},
                    fmt::format("{:.{}f} {}", in_unit(strip.content.plot.top_mm, unit), unit == LengthUnit::mm ? 0 : 2,
                                unit_name(unit)),
                    panel::letters(11, panel::faint));
  strip.canvas.line(
      std::array{Vector2d(margin, strip.plot_bottom()), Vector2d(strip.width - margin, strip.plot_bottom())},
      {panel::line, 1});
}

void draw_row_names(const DrawnStrip& strip) {
  const Lettering lettering = panel::letters(11, panel::faint);
  strip.canvas.text({8, steps_top + 19}, "steps", lettering);
  strip.canvas.text({8, signs_middle + 4}, "findings", lettering);
  strip.canvas.text({8, plot_top + 14}, "clear-", lettering);
  strip.canvas.text({8, plot_top + 27}, "ance", lettering);
}

void draw_playhead(const DrawnStrip& strip) {
  const double column = strip.column_of(strip.content.time_s);
  strip.canvas.line(std::array{Vector2d(column, 3), Vector2d(column, strip.height - 3)}, {panel::text, 1.6});
  strip.canvas.disk({column, 4}, 4, panel::text);
}

}  // namespace

Image draw_strip_ground(const StripContent& content, int width, int height) {
  Image image = blank_image(width, height, panel::back);
  Canvas canvas(image);
  const DrawnStrip strip{content, canvas, width, height};
  draw_steps(strip);
  draw_folds(strip);
  draw_curve(strip);
  draw_rule(strip);
  draw_unproved(strip);
  draw_signs(strip);
  draw_row_names(strip);
  return image;
}

Image with_playhead(Image ground, const StripContent& content) {
  {
    Canvas canvas(ground);  // done with before its picture moves
    draw_playhead({content, canvas, ground.width, ground.height});
  }
  return ground;
}

Image draw_strip(const StripContent& content, int width, int height) {
  return with_playhead(draw_strip_ground(content, width, height), content);
}

double share_of_column(double column, int width) {
  return std::clamp((column - margin) / line_width(width), 0.0, 1.0);
}

std::optional<std::size_t> finding_at_pixel(const Timeline& timeline, const Vector2d& pixel, int width) {
  constexpr double reach = 7;
  if (std::abs(pixel.y() - signs_middle) > reach || timeline.axis.length() <= 0) return std::nullopt;
  for (const TimelineMark& mark : timeline.marks) {
    const double share = timeline.axis.place_of(mark.time_s) / timeline.axis.length();
    if (std::abs(margin + share * line_width(width) - pixel.x()) <= reach) return mark.finding;
  }
  return std::nullopt;
}

}  // namespace cellproof
