// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/furniture.hpp"

#include <cmath>

#include <fmt/format.h>

#include "viewer/pictures/palette.hpp"

namespace cellproof {

void draw_caption(Canvas& canvas, const Strip& strip, const std::string& title, const std::string& detail,
                  const CaptionRoom& room) {
  const double left = strip.area.left + strip.size, top = strip.area.top;
  const Lettering bold{1.15 * strip.size, palette::ink, true, false};
  const Lettering plain{strip.size, palette::ink, false, false};
  canvas.text({left, top + 0.42 * strip.area.height}, shortened(canvas, title, bold, room.title - left - strip.size),
              bold);
  canvas.text({left, top + 0.80 * strip.area.height}, shortened(canvas, detail, plain, room.detail - left - strip.size),
              plain);
}

double draw_legend(Canvas& canvas, const Strip& strip, const std::vector<LegendEntry>& entries) {
  const Lettering plain{strip.size, palette::ink, false, false};
  double right = strip.area.left + strip.area.width - strip.size;
  const double base = strip.area.top + 0.42 * strip.area.height;
  for (auto entry = entries.rbegin(); entry != entries.rend(); ++entry) {
    right -= canvas.width_of(entry->words, plain);
    canvas.text({right, base}, entry->words, plain);
    right -= 1.3 * strip.size;
    const Area square{right, base - 0.8 * strip.size, 0.9 * strip.size, 0.9 * strip.size};
    canvas.fill({square.left - 1, square.top - 1, square.width + 2, square.height + 2}, palette::ink);
    canvas.fill(square, entry->colour);
    right -= 1.2 * strip.size;
  }
  return right;
}

double round_length(double mm_per_pixel, double most) {
  const double longest = mm_per_pixel * most, power = std::pow(10, std::floor(std::log10(longest)));
  for (const double factor : {5.0, 2.0})
    if (factor * power <= longest) return factor * power;
  return power;
}

double draw_scale_bar(Canvas& canvas, const Vector2d& end, double mm_per_pixel, double size) {
  const double length = round_length(mm_per_pixel, 20 * size), pixels = length / mm_per_pixel;
  const Vector2d start = end - Vector2d(pixels, 0), tick(0, 0.35 * size);
  const Stroke stroke{palette::ink, 0.12 * size};
  canvas.line(std::array{start, end}, stroke);
  canvas.line(std::array<Vector2d, 2>{start - tick, start + tick}, stroke);
  canvas.line(std::array<Vector2d, 2>{end - tick, end + tick}, stroke);
  const std::string words = fmt::format("{:g} mm", length);
  const Lettering lettering{size, palette::ink, false, false};
  const Vector2d words_start = start + Vector2d(-0.7 * size - canvas.width_of(words, lettering), 0.35 * size);
  canvas.text(words_start, words, lettering);
  return words_start.x();
}

void draw_axes(Canvas& canvas, const Vector2d& origin, const std::array<Vector2d, 3>& directions, double size) {
  const std::array<std::string, 3> names{"x", "y", "z"};
  const Lettering lettering{0.95 * size, palette::ink};
  for (std::size_t i = 0; i < 3; ++i) {
    if (directions[i].norm() < 0.05) continue;
    const Vector2d tip = origin + 2.6 * size * directions[i];
    canvas.line(std::array{origin, tip}, {palette::ink, 0.12 * size});
    const Vector2d beyond = tip + 0.6 * size * directions[i].normalized();
    canvas.text(beyond + Vector2d(-0.3 * size, 0.3 * size), names[i], lettering);
  }
  canvas.disk(origin, 0.18 * size, palette::ink);
}

}  // namespace cellproof
