// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/panel_style.hpp"

#include <array>

namespace cellproof::panel {

void draw_sign(Canvas& canvas, Severity severity, const Vector2d& middle, double radius) {
  const double r = radius;
  const Stroke stroke{colour_of(severity), 0.5 * r};
  if (severity == Severity::fail) {
    canvas.line(std::array<Vector2d, 2>{middle + Vector2d(-r, -r), middle + Vector2d(r, r)}, stroke);
    canvas.line(std::array<Vector2d, 2>{middle + Vector2d(-r, r), middle + Vector2d(r, -r)}, stroke);
    return;
  }
  canvas.line(std::array<Vector2d, 3>{middle + Vector2d(-r, r), middle + Vector2d(r, r), middle + Vector2d(0, -r)},
              stroke, true);
}

std::vector<std::string> wrapped(Canvas& canvas, const std::string& words, const Lettering& lettering, double width) {
  std::vector<std::string> lines;
  std::string row;
  for (std::size_t from = 0; from < words.size();) {
    const std::size_t blank = std::min(words.find(' ', from), words.size());
    const std::string word = words.substr(from, blank - from);
    const std::string longer = row.empty() ? word : row + ' ' + word;
    if (!row.empty() && canvas.width_of(longer, lettering) > width) {
      lines.push_back(row);
      row = word;
    } else {
      row = longer;
    }
    from = blank + 1;
  }
  if (!row.empty()) lines.push_back(row);
  return lines;
}

}  // namespace cellproof::panel
