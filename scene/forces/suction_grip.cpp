// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/suction_grip.hpp"

#include <algorithm>
#include <cmath>

#include "scene/cell/suction_force.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

Vector2d flat(const Vector3d& point) {
  return point.head<2>();
}

/// Middle of a closed polygon's line and the mean squared distance of the line from it.
void measure_seal_line(const Outline& corners, SuctionGrip::Pad& pad) {
  double length = 0, second = 0;
  Vector2d first = Vector2d::Zero();
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vector2d &a = corners[i], &b = corners[(i + 1) % corners.size()];
    const double edge = (b - a).norm();
    length += edge;
    first += edge * (a + b) / 2;
    second += edge * (a.squaredNorm() + a.dot(b) + b.squaredNorm()) / 3;
  }
  pad.seal_centre = first / length;
  pad.seal_spread = second / length - pad.seal_centre.squaredNorm();
}

SuctionGrip::Pad pad_of(const PlacedZone& placed, const Pose& plane_in_grip) {
  const Pose in_plane = plane_in_grip.inverse() * placed.in_grip;
  const auto onto_plane = [&](const Vector2d& point) { return flat(in_plane * Vector3d(point.x(), point.y(), 0)); };
  SuctionGrip::Pad pad;
  pad.force = suction_force(placed.zone) * std::max(0.0, in_plane.linear()(2, 2));
  pad.friction = placed.zone.friction;
  pad.centre = onto_plane(zone_area(placed.zone).centroid);
  if (placed.zone.circle) {
    pad.seal = {{onto_plane(Vector2d::Zero()), *placed.zone.circle}};
    pad.seal_centre = pad.seal.front().centre;
    pad.seal_spread = *placed.zone.circle * *placed.zone.circle;
    return pad;
  }
  Outline corners;
  for (const Vector2d& corner : placed.zone.outline) corners.push_back(onto_plane(corner));
  measure_seal_line(corners, pad);
  for (const Vector2d& corner : corners) pad.seal.push_back({corner, 0});
  return pad;
}

void note_unevenness(const PlacedZone& placed, SuctionGrip& grip) {
  const Pose in_plane = grip.plane_in_grip.inverse() * placed.in_grip;
  grip.greatest_tilt = std::max(grip.greatest_tilt, std::acos(std::clamp(in_plane.linear()(2, 2), -1.0, 1.0)));
  grip.greatest_step_mm = std::max(grip.greatest_step_mm, std::abs(in_plane.translation().z()));
}

/// The greatest friction that any place of the seals needs, as the size of a shear over friction, all forces in N.
double shear_demand(const SuctionGrip& grip, const Vector2d& shear, const Load& load_in_plane) {
  Vector2d middle = Vector2d::Zero();
  for (const auto& pad : grip.pads) middle += pad.force / grip.force * pad.seal_centre;
  double spread = 0;
  for (const auto& pad : grip.pads)
    spread += pad.force / grip.force * ((pad.seal_centre - middle).squaredNorm() + pad.seal_spread);
  const double twist = load_in_plane.moment_about(Vector3d(middle.x(), middle.y(), 0)).z() / spread;
  double greatest = 0;
  for (const auto& pad : grip.pads)
    for (const Disk& place : pad.seal) {
      const Vector2d arm = place.centre - middle;
      const Vector2d here = shear + twist * Vector2d(-arm.y(), arm.x());
      greatest = std::max(greatest, (here.norm() + std::abs(twist) * place.radius) / pad.friction);
    }
  return greatest;
}

/// The moment that opens the seal about a line: what lies `inward` of it is drawn along +z. A load that presses there
/// does not close it.
double opening_moment(const TippingLine& edge, const Load& load) {
  const Vector3d inward(-edge.outward.x(), -edge.outward.y(), 0);
  const Vector3d axis = inward.cross(Vector3d::UnitZ());
  const double by_pull = std::max(0.0, load.force.z() * edge.inward(flat(load.at)));
  const Vector3d along_plane(load.force.x(), load.force.y(), 0);
  return by_pull + axis.dot(load.moment + Vector3d(0, 0, load.at.z()).cross(along_plane));
}

double over(double held, double demanded) {
  return demanded > 0 ? held / demanded : std::numeric_limits<double>::infinity();
}

}  // namespace

SuctionGrip suction_grip(const std::vector<PlacedZone>& zones) {
  SuctionGrip grip;
  if (zones.empty()) return grip;
  grip.plane_in_grip = zones.front().in_grip;
  std::vector<Disk> seals;
  Vector2d first = Vector2d::Zero();
  for (const auto& zone : zones) {
    note_unevenness(zone, grip);
    grip.pads.push_back(pad_of(zone, grip.plane_in_grip));
    const auto& pad = grip.pads.back();
    grip.force += pad.force;
    first += pad.force * pad.centre;
    seals.insert(seals.end(), pad.seal.begin(), pad.seal.end());
  }
  if (grip.force > 0) grip.centre = first / grip.force;
  grip.edges = tipping_lines(seals);
  return grip;
}

namespace {

Load seen_from_plane(const SuctionGrip& grip, const Load& load) {
  const Pose to_plane = grip.plane_in_grip.inverse();
  return {to_plane.linear() * load.force, to_plane.linear() * load.moment, to_plane * load.at};
}

}  // namespace

GripFactors grip_factors(const SuctionGrip& grip, const Load& load_in_grip) {
  const Load load = seen_from_plane(grip, load_in_grip);
  if (!(grip.force > 0)) return {0, 0, 0};
  GripFactors factors;
  const double pull = std::max(0.0, load.force.z());
  factors.pull = over(grip.force, pull);
  factors.slip = over(grip.force, pull + shear_demand(grip, flat(load.force), load));
  for (const TippingLine& edge : grip.edges)
    factors.peel = std::min(factors.peel, over(grip.force * edge.inward(grip.centre), opening_moment(edge, load)));
  return factors;
}

std::vector<double> zone_loads(const SuctionGrip& grip, const Load& load_in_grip) {
  if (!(grip.force > 0)) return std::vector<double>(grip.pads.size(), std::numeric_limits<double>::quiet_NaN());
  const Load load = seen_from_plane(grip, load_in_grip);
  const Vector3d moment = load.moment_about(Vector3d(grip.centre.x(), grip.centre.y(), 0));
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (const auto& pad : grip.pads) {
    const Vector2d arm = pad.centre - grip.centre;
    spread += pad.force / grip.force * arm * arm.transpose();
  }
  // N_i = w_i (N + k · arm_i), Σ N_i arm_i = (-M_y, M_x); least where the zones stand in a row.
  const Vector2d tipping(-moment.y(), moment.x());
  const Vector2d slope = spread.completeOrthogonalDecomposition().solve(tipping);
  std::vector<double> loads;
  for (const auto& pad : grip.pads)
    loads.push_back(pad.force / grip.force * (load.force.z() + slope.dot(pad.centre - grip.centre)));
  return loads;
}

}  // namespace cellproof
