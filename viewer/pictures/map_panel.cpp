// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/map_panel.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "viewer/pictures/palette.hpp"

namespace cellproof {

namespace {

/// A round distance between ticks (1, 2 or 5 times a power of ten) of at least so many pixels.
double round_tick(double mm_per_pixel, double least) {
  const double wanted = mm_per_pixel * least, power = std::pow(10, std::floor(std::log10(wanted)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (factor * power >= wanted) return factor * power;
  return 10 * power;
}

}  // namespace

PanelView view_of(const MapExtent& window, const Area& panel, double letters) {
  const double left = 3.4 * letters, below = 1.3 * letters;
  const Area area{panel.left + left, panel.top, std::max(1.0, panel.width - left), std::max(1.0, panel.height - below)};
  const double mm_per_pixel =
      1.04 * std::max(window.span().x() / area.width, window.span().y() / std::max(1.0, area.height - 4 * letters));
  return {area, mm_per_pixel, (window.least + window.most) / 2};
}

void draw_rims(Canvas& canvas, const PanelView& view, const Vector2d& zero, double letters) {
  const Area& area = view.area;
  const double step = round_tick(view.mm_per_pixel, 4.5 * letters), size = 0.75 * letters;
  const Lettering lettering{size, palette::faint_ink};
  const Stroke stroke{palette::faint_ink, 1};
  const Vector2d half = view.mm_per_pixel * Vector2d(area.width, area.height) / 2;
  const Vector2d low = view.middle - half - zero, high = view.middle + half - zero;
  const double bottom = area.top + area.height;
  canvas.line(std::array{Vector2d(area.left, bottom), Vector2d(area.left + area.width, bottom)}, stroke);
  canvas.line(std::array{Vector2d(area.left, area.top), Vector2d(area.left, bottom)}, stroke);
  const auto number = [](double mm) { return fmt::format("{:g}", mm + 0.0); };
  for (double i = std::ceil(low.x() / step); i * step <= high.x(); ++i) {
    const double column = view.pixel(zero + Vector2d(i * step, 0)).x();
    const std::string words = number(i * step);
    canvas.line(std::array{Vector2d(column, bottom), Vector2d(column, bottom + 0.3 * size)}, stroke);
    canvas.text({column - canvas.width_of(words, lettering) / 2, bottom + 1.3 * size}, words, lettering);
  }
  for (double i = std::ceil(low.y() / step); i * step <= high.y(); ++i) {
    const double row = view.pixel(zero + Vector2d(0, i * step)).y();
    const std::string words = number(i * step);
    canvas.line(std::array{Vector2d(area.left - 0.3 * size, row), Vector2d(area.left, row)}, stroke);
    canvas.text({area.left - 0.5 * size - canvas.width_of(words, lettering), row + 0.35 * size}, words, lettering);
  }
  canvas.text({area.left + area.width - 1.2 * size, bottom - 0.5 * size}, "x", {size, palette::ink, true});
  canvas.text({area.left + 0.4 * size, area.top + 2.6 * letters}, "y", {size, palette::ink, true});
}

}  // namespace cellproof
