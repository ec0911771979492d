// SPDX-License-Identifier: GPL-3.0-or-later
// Lengths in words, in the unit that the window shows.
#pragma once

#include <string>

#include "kinematics/types.hpp"

namespace cellproof {

enum class LengthUnit { mm, inch };

/// "12.70 mm", "0.5000 in": to a hundredth of a millimetre or finer.
std::string length_text(double mm, LengthUnit unit);
/// "12.70, 0.00, -3.10 mm"
std::string vector_text(const Vector3d& mm, LengthUnit unit);
/// "250 mm/s", "9.84 in/s"
std::string speed_text(double mm_per_s, LengthUnit unit);

/// With so many digits behind the point; nothing but noise is 0 without a sign.
std::string figure(double value, int digits);

double in_unit(double mm, LengthUnit unit);
double from_unit(double value, LengthUnit unit);  ///< to mm
std::string unit_name(LengthUnit unit);           ///< "mm", "in"

}  // namespace cellproof
