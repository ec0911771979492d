// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/suction_grip.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/cell/suction_force.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr double without_end = 1e9;  // times: what only rounding asks for

/// A zone seen in the seal plane.
struct FlatZone {
  double force = 0;
  Vector2d centre = Vector2d::Zero();
  std::vector<Lip> lips;
};

FlatZone flat_zone(const PlacedZone& placed, const Pose& in_plane) {
  const auto onto_plane = [&](const Vector2d& point) -> Vector2d {
    return (in_plane * Vector3d(point.x(), point.y(), 0)).head<2>();
  };
  const Suction& zone = placed.zone;
  FlatZone flat;
  flat.force = suction_force(zone) * std::max(0.0, in_plane.linear()(2, 2));
  flat.centre = onto_plane(zone_area(zone).centroid);
  if (zone.circle) flat.lips.push_back({{onto_plane(Vector2d::Zero()), *zone.circle}, {}, zone.friction});
  const auto add_outline = [&](const Outline& outline) {
    Lip& lip = flat.lips.emplace_back();
    lip.friction = zone.friction;
    for (const Vector2d& corner : outline) lip.corners.push_back(onto_plane(corner));
  };
  if (!zone.circle) add_outline(zone.outline);
  for (const Outline& hole : zone.holes) add_outline(hole);
  return flat;
}

void note_unevenness(const Pose& in_plane, SuctionGrip& grip) {
  grip.greatest_tilt = std::max(grip.greatest_tilt, std::acos(std::clamp(in_plane.linear()(2, 2), -1.0, 1.0)));
  grip.greatest_step_mm = std::max(grip.greatest_step_mm, std::abs(in_plane.translation().z()));
}

/// A zone's lips together, about the bed's middle.
LipSums sums_about(const std::vector<Lip>& lips, const Vector2d& middle) {
  LipSums sums;
  for (const Lip& lip : lips) {
    const LipSums mine = sums_of(lip);
    sums.length += mine.length;
    sums.first += mine.first - mine.length * middle;
  }
  return sums;
}

Load seen_from_plane(const SuctionGrip& grip, const Load& load) {
  const Pose to_plane = grip.plane_in_grip.inverse();
  return {to_plane.linear() * load.force, to_plane.linear() * load.moment, to_plane * load.at};
}

Vector3d moment_about_middle(const SuctionGrip& grip, const Load& load_in_plane) {
  return load_in_plane.moment_about(Vector3d(grip.bed.middle.x(), grip.bed.middle.y(), 0));
}

/// How a load changes the pressure, of which `pull` draws the part off.
LinearPressure pressure_change(const SuctionGrip& grip, const Vector3d& moment, double pull) {
  return pressure_of(grip.bed, -pull, Vector2d(moment.y(), -moment.x()));
}

double if_not_endless(double factor) {
  return factor < without_end ? factor : std::numeric_limits<double>::infinity();
}

}  // namespace

SuctionGrip suction_grip(const std::vector<PlacedZone>& zones) {
  SuctionGrip grip;
  if (zones.empty()) return grip;
  grip.plane_in_grip = zones.front().in_grip;
  std::vector<FlatZone> flat;
  std::vector<Lip> lips;
  for (const PlacedZone& zone : zones) {
    const Pose in_plane = grip.plane_in_grip.inverse() * zone.in_grip;
    note_unevenness(in_plane, grip);
    flat.push_back(flat_zone(zone, in_plane));
    lips.insert(lips.end(), flat.back().lips.begin(), flat.back().lips.end());
  }
  grip.bed = lip_bed(lips);
  Vector2d moments = Vector2d::Zero();
  for (const FlatZone& zone : flat) {
    const Vector2d centre = zone.centre - grip.bed.middle;
    grip.pads.push_back({zone.force, centre, sums_about(zone.lips, grip.bed.middle)});
    grip.force += zone.force;
    moments += zone.force * centre;
  }
  grip.at_rest = pressure_of(grip.bed, grip.force, moments);
  return grip;
}

GripFactors grip_factors(const SuctionGrip& grip, const Load& load_in_grip) {
  const Load load = seen_from_plane(grip, load_in_grip);
  const Vector3d moment = moment_about_middle(grip, load);
  if (load.force.hasNaN() || moment.hasNaN()) return {not_a_number, not_a_number, not_a_number};
  if (!(grip.force > 0)) return {0, 0, 0};
  const double pull = std::max(0.0, load.force.z());
  const LinearPressure change = pressure_change(grip, moment, pull);
  GripFactors factors;
  factors.peel = greatest_pressed(grip.bed, grip.at_rest, change);
  if (pull > 0) factors.pull = std::max(factors.peel, grip.force / pull);  // no less but by rounding
  const SideLoad side{load.force.head<2>(), moment.z()};
  factors.slip = if_not_endless(greatest_held(grip.bed.friction, grip.at_rest, change, side, factors.peel));
  factors.pull = if_not_endless(factors.pull);
  factors.peel = if_not_endless(factors.peel);
  return factors;
}

std::vector<double> zone_loads(const SuctionGrip& grip, const Load& load_in_grip) {
  if (!(grip.force > 0)) return std::vector<double>(grip.pads.size(), not_a_number);
  const Load load = seen_from_plane(grip, load_in_grip);
  const LinearPressure change = pressure_change(grip, moment_about_middle(grip, load), load.force.z());
  const auto pressing = [](const LinearPressure& pressure, const LipSums& lips) {
    return pressure.at_origin * lips.length + pressure.slope.dot(lips.first);
  };
  std::vector<double> loads;
  for (const auto& pad : grip.pads)
    loads.push_back(pad.force - pressing(grip.at_rest, pad.lips) - pressing(change, pad.lips));
  return loads;
}

}  // namespace cellproof
