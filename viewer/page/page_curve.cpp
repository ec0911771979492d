// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page_curve.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/page/html.hpp"
#include "viewer/pictures/palette.hpp"

namespace cellproof {

namespace {

constexpr double width = 1000, height = 250, left = 46, right = 8, top = 22, bottom = 40;

/// Where shares of the line and gaps are drawn; a gap beyond the top is drawn at it.
struct CurveArea {
  double top_mm;
  double x(double share) const { return left + share * (width - left - right); }
  double y(double mm) const { return height - bottom - std::clamp(mm / top_mm, 0.0, 1.0) * (height - top - bottom); }
};

std::string words_at(double x, double y, const char* anchor, const std::string& words) {
  return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>\n", x, y, anchor, html_text(words));
}

std::string line(double x1, double y1, double x2, double y2, const char* kind) {
  return fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" class=\"{}\"/>\n", x1, y1, x2, y2,
                     kind);
}

/// What lies between the bounds, and the lower bound as a line.
std::string enclosure(const CurveArea& plane, const GapPlot& plot) {
  std::string band, bound;
  for (const GapSpan& span : plot.spans) {
    const double from = plane.x(span.from), to = plane.x(span.to), low = plane.y(span.lower_mm);
    const double high = plane.y(span.upper_mm);
    band += fmt::format("M{:.1f} {:.1f}H{:.1f}V{:.1f}H{:.1f}Z", from, low, to, high, from);
    bound += fmt::format("{}{:.1f} {:.1f}H{:.1f}", bound.empty() ? 'M' : 'L', from, low, to);
  }
  return fmt::format("<path d=\"{}\" class=\"between\"/>\n<path d=\"{}\" class=\"bound\"/>\n", band, bound);
}

std::string gap_scale(const CurveArea& plane, const GapPlot& plot) {
  std::string svg;
  for (int i = 0; i <= 4; ++i) {
    const double mm = plot.top_mm * i / 4;
    svg += line(left, plane.y(mm), width - right, plane.y(mm), "grid");
    svg += words_at(left - 5, plane.y(mm) + 4, "end", fmt::format("{:g}{}", mm, i == 4 ? "+" : ""));
  }
  svg += line(left, plane.y(plot.rule_mm), width - right, plane.y(plot.rule_mm), "rule");
  return svg +
         words_at(width - right - 3, plane.y(plot.rule_mm) - 4, "end", fmt::format("rule {:g} mm", plot.rule_mm)) +
         words_at(4, 14, "start", "gap, mm");
}

/// Where steps begin, by their number, as far as there is room; times below.
std::string step_scale(const CurveArea& plane, const Timeline& timeline) {
  constexpr double room_for_digit = 8, room_for_time = 52;
  std::string svg;
  double number_free = 0, last_time = -1e9;
  const auto time_at = [&](double x, double time_s) {
    if (x - last_time < room_for_time) return;
    svg += words_at(x, height - bottom + 30, "middle", fmt::format("{:.2f} s", time_s));
    last_time = x;
  };
  for (std::size_t i = 0; i < timeline.steps.size(); ++i) {
    const double x = plane.x(timeline.axis.place_of(timeline.steps[i].start_s) / timeline.axis.length());
    svg += line(x, top, x, height - bottom + 4, "step");
    if (x >= number_free) {
      const std::string number = std::to_string(i + 1);
      svg += words_at(x + 2, height - bottom + 15, "start", number);
      number_free = x + room_for_digit * static_cast<double>(number.size());
    }
    if (x < width - right - room_for_time) time_at(std::max(x, left + 12), timeline.steps[i].start_s);
  }
  time_at(width - right - 24, timeline.duration_s);
  return svg;
}

std::string marks(const CurveArea& plane, const Timeline& timeline) {
  std::string svg;
  for (const TimelineMark& mark : timeline.marks) {
    const double x = plane.x(timeline.axis.place_of(mark.time_s) / timeline.axis.length());
    svg += fmt::format("<path d=\"M{:.1f} {:.1f}l-5 -9h10z\" class=\"{}\"/>\n", x, top,
                       mark.severity == Severity::fail ? "fails" : "care");
  }
  return svg;
}

}  // namespace

std::string curve_svg(const Timeline& timeline, const GapPlot& plot) {
  if (plot.spans.empty() || timeline.axis.length() <= 0) return {};
  const CurveArea plane{plot.top_mm};
  const std::string least = plot.least_mm ? fmt::format(", at the least {:.1f} mm", *plot.least_mm) : "";
  return fmt::format("<svg viewBox=\"0 0 {:g} {:g}\" role=\"img\" aria-label=\"gap along the cycle{}\">\n", width,
                     height, least) +
         gap_scale(plane, plot) + step_scale(plane, timeline) + enclosure(plane, plot) + marks(plane, timeline) +
         "</svg>\n";
}

}  // namespace cellproof
