// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/lengths.hpp"

#include <cmath>

#include <fmt/format.h>

namespace cellproof {

namespace {

constexpr double mm_per_inch = 25.4;  // exact by definition

/// Without a sign where nothing but noise is left.
std::string figure(double value, int digits) {
  const double step = std::pow(10, -digits);
  return fmt::format("{:.{}f}", std::abs(value) < step / 2 ? 0.0 : value, digits);
}

std::string bare(double mm, LengthUnit unit) {
  return figure(in_unit(mm, unit), unit == LengthUnit::mm ? 2 : 4);
}

}  // namespace

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
