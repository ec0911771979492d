// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/lengths.hpp"

#include <fmt/format.h>

namespace cellproof {

namespace {

constexpr double mm_per_inch = 25.4;  // exact by definition

std::string bare(double mm, LengthUnit unit) {
  return figure(in_unit(mm, unit), unit == LengthUnit::mm ? 2 : 4);
}

}  // namespace

std::string figure(double value, int digits) {
  std::string text = fmt::format("{:.{}f}", value, digits);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);
  return text;
}

double in_unit(double mm, LengthUnit unit) {
  return unit == LengthUnit::mm ? mm : mm / mm_per_inch;
}

double from_unit(double value, LengthUnit unit) {
  return unit == LengthUnit::mm ? value : value * mm_per_inch;
}

std::string unit_name(LengthUnit unit) {
  return unit == LengthUnit::mm ? "mm" : "in";
}

std::string length_text(double mm, LengthUnit unit) {
  return fmt::format("{} {}", bare(mm, unit), unit_name(unit));
}

std::string vector_text(const Vector3d& mm, LengthUnit unit) {
  return fmt::format("{}, {}, {} {}", bare(mm.x(), unit), bare(mm.y(), unit), bare(mm.z(), unit), unit_name(unit));
}

std::string speed_text(double mm_per_s, LengthUnit unit) {
  return fmt::format("{} {}/s", figure(in_unit(mm_per_s, unit), unit == LengthUnit::mm ? 0 : 2), unit_name(unit));
}

}  // namespace cellproof
