// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/grip_mend.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/supply.hpp"
#include "scene/cell/zone_overlap.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

double step_of(double value, int digits) {
  return std::pow(10.0, std::floor(std::log10(std::abs(value))) - digits + 1);
}

bool all_same(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [&](double value) { return value == values.front(); });
}

bool would_meet(const std::vector<Suction>& zones, double times) {
  constexpr double by_rounding = 0.01;
  for (std::size_t i = 0; i < zones.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (overlap_share(grown(zones[i], times), grown(zones[j], times)) > by_rounding) return true;
  return false;
}

std::string more_area(const std::vector<Suction>& zones, std::optional<double> needed) {
  constexpr double most_mm = 1000;
  const std::string none = "more area alone can't do it";
  if (!needed) return none;
  const double times = *needed;
  double area = 0;
  std::vector<double> radii;
  for (const auto& zone : zones) {
    area += zone_area(zone).area;
    if (zone.circle && zone.holes.empty()) radii.push_back(*zone.circle);
  }
  if (area * times > most_mm * most_mm || (!radii.empty() && std::ranges::max(radii) * std::sqrt(times) > most_mm))
    return none;
  if (would_meet(zones, times)) return none + ": the zones would cover the same place";
  const std::string more = fmt::format("{:g} mm^2 more area", rounded_up(area * (times - 1)));
  if (radii.size() < zones.size() || !all_same(radii))
    return fmt::format("{}, each zone {:g} times its own", more, rounded_up(times));
  return fmt::format("{}: circle = \"{:g} mm\" in place of {:g} mm", more, rounded_up(radii.front() * std::sqrt(times)),
                     radii.front());
}

/// The supply that all zones hang on, if it is one.
const Supply* common_supply(const Cell& cell, const std::vector<Suction>& zones) {
  const auto supply = std::ranges::find(cell.supplies, zones.front().supply, &Supply::name);
  const auto same = [&](const Suction& zone) { return zone.supply == zones.front().supply; };
  return supply != cell.supplies.end() && std::ranges::all_of(zones, same) ? &*supply : nullptr;
}

std::string more_of_supply(const Supply& supply, double needed, double ambient_pa) {
  constexpr double share_in_good_time = 0.95;
  const double kpa = rounded_up(needed / 1000);
  if (supply.switch_at && needed < share_in_good_time * vacuum_reached(line_of(supply, ambient_pa)))
    return fmt::format("switch = \"{:g} kPa\" of '{}' in place of {:g} kPa", kpa, supply.name,
                       *supply.switch_at / 1000);
  return fmt::format("'{}' with a source that brings {:g} kPa to the zones", supply.name, kpa);
}

std::string more_vacuum(const Cell& cell, const std::vector<Suction>& zones, double times) {
  const double ambient_pa = ambient_pressure(cell.rules.altitude);
  std::vector<double> vacuums;
  for (const auto& zone : zones) vacuums.push_back(zone.vacuum);
  const double greatest = *std::max_element(vacuums.begin(), vacuums.end());
  if (1000 * rounded_up(greatest * times / 1000) >= ambient_pa)
    return fmt::format("more vacuum alone can't do it: {:g} kPa would be needed, ambient is {:.1f} kPa",
                       rounded_up(greatest * times / 1000), ambient_pa / 1000);
  if (!(greatest > 0)) return "a source that reaches a vacuum";
  if (const Supply* supply = common_supply(cell, zones)) return more_of_supply(*supply, greatest * times, ambient_pa);
  if (!all_same(vacuums)) return fmt::format("{:g} times each zone's vacuum", rounded_up(times));
  return fmt::format("vacuum = \"{:g} kPa\" in place of {:g} kPa", rounded_up(greatest * times / 1000),
                     greatest / 1000);
}

}  // namespace

double rounded_up(double value, int digits) {
  if (!(std::abs(value) > 0) || !std::isfinite(value)) return value;
  const double step = step_of(value, digits);
  return std::ceil(value / step - 1e-9) * step;
}

double rounded_down(double value, int digits) {
  return -rounded_up(-value, digits);
}

std::string stronger_suction(const Cell& cell, const std::vector<std::string>& zone_names,
                             std::optional<double> area_times, double times) {
  std::vector<Suction> zones;
  for (const auto& name : zone_names) zones.push_back(cell.suctions[id_named(cell.suctions, name)]);
  if (zones.empty()) return {};
  return fmt::format("{}; or {}", more_area(zones, area_times), more_vacuum(cell, zones, times));
}

std::string stronger_jaw(const Jaw& jaw, double times) {
  if (!(jaw.force * times <= most_newton)) return fmt::format("no force of '{}' alone does it", jaw.name);
  return fmt::format("force = \"{:g} N\" for '{}' in place of {:g} N", rounded_up(jaw.force * times), jaw.name,
                     jaw.force);
}

std::string slower_step(const Scene& scene, const Stretch& stretch, double slowness) {
  const SpeedSettings& now = scene.cell.cycle->steps[stretch.step_index].speeds;
  if (stretch.kind == StretchKind::joint)
    return fmt::format("in step \"{}\" joint_speed = {:g}, joint_acceleration = {:g}", stretch.step,
                       rounded_down(now.joint_speed * slowness),
                       rounded_down(now.joint_acceleration * slowness * slowness));
  // Where the joints hold a line back it runs slower than asked already.
  const bool held = stretch.line && stretch.line->held_back.joint >= 0;
  const double held_back = held ? stretch.line->held_back.rate / stretch.line->held_back.asked_rate : 1;
  const double share = held_back * slowness;
  std::string text =
      fmt::format("in step \"{}\" tool_speed = \"{:g} mm/s\", tool_acceleration = \"{:g} mm/s^2\"", stretch.step,
                  rounded_down(now.tool_speed * share), rounded_down(now.tool_acceleration * share * share));
  if (stretch.motion.path.is_linear() && stretch.motion.path.target().angle() > 0)
    text += fmt::format(", tool_turn = \"{:g} deg/s\", tool_turn_acceleration = \"{:g} deg/s^2\"",
                        rounded_down(degrees(now.tool_turn * share)),
                        rounded_down(degrees(now.tool_turn_acceleration * share * share)));
  return text;
}

}  // namespace cellproof
