// SPDX-License-Identifier: GPL-3.0-or-later
// Colours, letters and signs of the window's own panels. What fails is vermilion with a cross, what is worth care is
// yellow with a triangle, what passes is sky blue: apart in hue for any colour vision, and in form.
#pragma once

#include <string>
#include <vector>

#include "checks/report.hpp"
#include "viewer/pictures/canvas.hpp"

namespace cellproof::panel {

inline constexpr Colour back{0.125, 0.135, 0.15};
inline constexpr Colour raised{0.185, 0.20, 0.225};
inline constexpr Colour chosen{0.25, 0.29, 0.345};
inline constexpr Colour text{0.93, 0.93, 0.90};
inline constexpr Colour faint{0.63, 0.65, 0.67};
inline constexpr Colour line{0.33, 0.35, 0.38};
inline constexpr Colour fails{0.95, 0.47, 0.25};
inline constexpr Colour care{0.95, 0.83, 0.40};
inline constexpr Colour passes{0.45, 0.75, 0.95};

inline Lettering letters(double size, const Colour& colour = text, bool bold = false) {
  return {size, colour, bold, false};
}

inline const Colour& colour_of(Severity severity) {
  return severity == Severity::fail ? fails : care;
}

/// A cross for what fails, a triangle for what is worth care.
void draw_sign(Canvas& canvas, Severity severity, const Vector2d& middle, double radius);

/// The words in as many lines as they need.
std::vector<std::string> wrapped(Canvas& canvas, const std::string& words, const Lettering& lettering, double width);

}  // namespace cellproof::panel
