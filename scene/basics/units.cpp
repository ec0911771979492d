// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/units.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <stdexcept>

#include <fmt/format.h>

namespace cellproof {
namespace {

// Exact as well (NIST SP 811): standard gravity; the rest follows.
constexpr double inch = mm_per_inch;
constexpr double foot = 12 * inch;  // mm
constexpr double pound = kg_per_pound;
constexpr double pound_force = pound * 9.80665;      // N
constexpr double inch_of_mercury = 3386.389;         // Pa, conventional
constexpr double degree = std::numbers::pi / 180.0;  // rad
constexpr double inch_m = inch / 1000, foot_m = foot / 1000;

struct NamedUnit {
  Kind kind;
  std::string_view name;
  double factor;
};

constexpr NamedUnit all_units[] = {
    {Kind::length, "mm", 1},
    {Kind::length, "cm", 10},
    {Kind::length, "m", 1000},
    {Kind::length, "in", inch},
    {Kind::length, "ft", foot},
    {Kind::length, "thou", inch / 1000},
    {Kind::angle, "deg", degree},
    {Kind::angle, "rad", 1},
    {Kind::mass, "kg", 1},
    {Kind::mass, "g", 0.001},
    {Kind::mass, "lb", pound},
    {Kind::force, "N", 1},
    {Kind::force, "kN", 1000},
    {Kind::force, "lbf", pound_force},
    {Kind::pressure, "Pa", 1},
    {Kind::pressure, "kPa", 1000},
    {Kind::pressure, "MPa", 1e6},
    {Kind::pressure, "bar", 1e5},
    {Kind::pressure, "mbar", 100},
    {Kind::pressure, "psi", pound_force / (inch_m * inch_m)},
    {Kind::pressure, "inHg", inch_of_mercury},
    {Kind::moment, "N m", 1},
    {Kind::moment, "lbf ft", pound_force* foot_m},
    {Kind::moment, "lbf in", pound_force* inch_m},
    {Kind::inertia, "kg m^2", 1},
    {Kind::inertia, "lb in^2", pound* inch_m* inch_m},
    {Kind::power, "W", 1},
    {Kind::power, "kW", 1000},
    {Kind::power, "hp", 550 * foot_m* pound_force},
    {Kind::time, "s", 1},
    {Kind::time, "ms", 0.001},
    {Kind::time, "min", 60},
    {Kind::speed, "mm/s", 1},
    {Kind::speed, "m/s", 1000},
    {Kind::speed, "in/s", inch},
    {Kind::speed, "mm/min", 1.0 / 60},
    {Kind::speed, "m/min", 1000.0 / 60},
    {Kind::speed, "in/min", inch / 60},
    {Kind::speed, "ft/min", foot / 60},
    {Kind::speed, "ft/s", foot},
    {Kind::angular_speed, "deg/s", degree},
    {Kind::angular_speed, "rad/s", 1},
    {Kind::angular_speed, "rpm", 2 * std::numbers::pi / 60},
    {Kind::acceleration, "mm/s^2", 1},
    {Kind::acceleration, "m/s^2", 1000},
    {Kind::acceleration, "in/s^2", inch},
    {Kind::angular_acceleration, "deg/s^2", degree},
    {Kind::angular_acceleration, "rad/s^2", 1},
    {Kind::area, "mm^2", 1},
    {Kind::area, "cm^2", 100},
    {Kind::area, "in^2", inch* inch},
    {Kind::density, "kg/m^3", 1},
    {Kind::density, "g/cm^3", 1000},
    {Kind::density, "lb/in^3", pound / (inch_m * inch_m * inch_m)},
    {Kind::volume, "L", 1e6},
    {Kind::volume, "mL", 1e3},
    {Kind::volume, "cm^3", 1e3},
    {Kind::volume, "in^3", inch* inch* inch},
    {Kind::flow, "L/min", 1e6 / 60},
    {Kind::flow, "m^3/h", 1e9 / 3600},
    {Kind::flow, "cfm", foot* foot* foot / 60},
    {Kind::specific_force, "N/mm^2", 1},
    {Kind::specific_force, "MPa", 1},
    {Kind::specific_force, "psi", pound_force / (inch * inch)},
};

constexpr std::string_view blanks = " \t";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

/// A number at the start of a text, and what follows it.
struct NumberAndRest {
  double number;
  std::string_view rest;
};

/// A whole number without a sign at the start of a text, and what follows it.
std::optional<NumberAndRest> split_digits(std::string_view text) {
  std::uint32_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{}) return std::nullopt;
  return NumberAndRest{static_cast<double>(number), text.substr(static_cast<std::size_t>(end - text.data()))};
}

/// Over how much, where a fraction goes on: "/2 in" behind 1.
std::optional<NumberAndRest> split_denominator(std::string_view text) {
  if (!text.starts_with('/')) return std::nullopt;
  const auto below = split_digits(text.substr(1));
  if (!below || below->number == 0) return std::nullopt;
  return below;
}

/// Fractions as drawings in inches have them: "/2 in" behind 1, " 1/2 in" behind 1.
NumberAndRest with_fraction(const NumberAndRest& parts) {
  if (parts.number != std::trunc(parts.number)) return parts;
  if (const auto below = split_denominator(parts.rest)) return {parts.number / below->number, trimmed(below->rest)};
  const auto above = split_digits(parts.rest);
  const auto below = above ? split_denominator(above->rest) : std::nullopt;
  if (!below) return parts;
  const double part = above->number / below->number;
  return {std::signbit(parts.number) ? parts.number - part : parts.number + part, trimmed(below->rest)};
}

std::optional<NumberAndRest> split_number(std::string_view text) {
  text = trimmed(text);
  if (text.size() > 1 && text[0] == '+' && text[1] != '-') text.remove_prefix(1);
  double number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || !std::isfinite(number)) return std::nullopt;
  return with_fraction({number, trimmed(text.substr(static_cast<std::size_t>(end - text.data())))});
}

tl::unexpected<std::string> no_number(std::string_view text, Kind kind) {
  return tl::make_unexpected(
      fmt::format("\"{}\" does not start with a finite number; write a number and one of {}", text, units_of(kind)));
}

tl::expected<double, std::string> converted(const NumberAndRest& parts, std::string_view text, Kind kind) {
  const auto factor = unit_factor(parts.rest, kind);
  if (!factor) return tl::make_unexpected(factor.error());
  const double value = parts.number * *factor;
  if (!std::isfinite(value))
    return tl::make_unexpected(fmt::format("\"{}\" is too large; write a finite number", text));
  return value;
}

}  // namespace

std::string bare_unit(Kind kind, const DefaultUnits& units) {
  switch (kind) {
    case Kind::length:
      return units.length;
    case Kind::angle:
      return units.angle;
    case Kind::mass:
      return units.mass;
    case Kind::force:
      return "N";
    case Kind::pressure:
      return "kPa";
    case Kind::moment:
      return "N m";
    case Kind::inertia:
      return "kg m^2";
    case Kind::power:
      return "W";
    case Kind::time:
      return "s";
    case Kind::speed:
      return units.length + "/s";
    case Kind::angular_speed:
      return units.angle + "/s";
    case Kind::acceleration:
      return units.length + "/s^2";
    case Kind::angular_acceleration:
      return units.angle + "/s^2";
    case Kind::area:
      return units.length + "^2";
    case Kind::density:
      return "kg/m^3";
    case Kind::volume:
      return "L";
    case Kind::flow:
      return "L/min";
    case Kind::specific_force:
      return "N/mm^2";
  }
  throw std::logic_error("no such kind");
}

double bare_factor(Kind kind, const DefaultUnits& units) {
  const auto known = [](std::string_view name, Kind of) {
    const auto factor = unit_factor(name, of);
    if (!factor) throw std::logic_error(factor.error());
    return *factor;
  };
  switch (kind) {
    case Kind::speed:
    case Kind::acceleration:
      return known(units.length, Kind::length);
    case Kind::angular_speed:
    case Kind::angular_acceleration:
      return known(units.angle, Kind::angle);
    case Kind::area:
      return std::pow(known(units.length, Kind::length), 2);
    default:
      return known(bare_unit(kind, units), kind);
  }
}

std::string unit_in(std::string_view text) {
  const auto parts = split_number(text);
  return parts ? std::string(parts->rest) : std::string();
}

tl::expected<double, std::string> unit_factor(std::string_view name, Kind kind) {
  std::optional<Kind> other;
  for (const NamedUnit& unit : all_units) {
    if (unit.name != name) continue;
    if (unit.kind == kind) return unit.factor;
    other = unit.kind;
  }
  if (name.empty()) return tl::make_unexpected(fmt::format("the unit is missing; use {}", units_of(kind)));
  if (other)
    return tl::make_unexpected(fmt::format("\"{}\" is a unit of {} where one of {} is wanted; use {}", name,
                                           kind_name(*other), kind_name(kind), units_of(kind)));
  return tl::make_unexpected(fmt::format("there is no unit \"{}\"; use {}", name, units_of(kind)));
}

tl::expected<double, std::string> parse_quantity(std::string_view text, Kind kind) {
  const auto parts = split_number(text);
  if (!parts) return no_number(text, kind);
  return converted(*parts, text, kind);
}

tl::expected<std::vector<double>, std::string> parse_quantities(std::string_view comma_list, Kind kind,
                                                                const DefaultUnits& units) {
  std::vector<double> values;
  while (true) {
    const auto comma = comma_list.find(',');
    const std::string_view entry = comma_list.substr(0, comma);
    const auto parts = split_number(entry);
    tl::expected<double, std::string> value = 0.0;
    if (!parts)
      value = no_number(entry, kind);
    else if (parts->rest.empty())
      value = parts->number * bare_factor(kind, units);
    else
      value = converted(*parts, entry, kind);
    if (!value) return tl::make_unexpected(fmt::format("entry {}: {}", values.size() + 1, value.error()));
    values.push_back(*value);
    if (comma == std::string_view::npos) return values;
    comma_list.remove_prefix(comma + 1);
  }
}

std::string_view kind_name(Kind kind) {
  static constexpr std::array<std::string_view, 18> names = {"length",
                                                             "angle",
                                                             "mass",
                                                             "force",
                                                             "pressure",
                                                             "moment",
                                                             "inertia",
                                                             "power",
                                                             "time",
                                                             "speed",
                                                             "angular speed",
                                                             "acceleration",
                                                             "angular acceleration",
                                                             "area",
                                                             "density",
                                                             "volume",
                                                             "flow",
                                                             "specific cutting force"};
  return names.at(static_cast<std::size_t>(kind));
}

std::string units_of(Kind kind) {
  std::vector<std::string_view> names;
  for (const NamedUnit& unit : all_units)
    if (unit.kind == kind) names.push_back(unit.name);
  const std::string_view last = names.back();
  names.pop_back();
  return fmt::format("{} or {}", fmt::join(names, ", "), last);
}

}  // namespace cellproof
