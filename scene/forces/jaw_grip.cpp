// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/jaw_grip.hpp"

#include <algorithm>
#include <cmath>

#include "scene/forces/friction_limit.hpp"

namespace cellproof {

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

double over(double held, double demanded) {
  return demanded > 0 ? held / demanded : endless;
}

/// A rectangle about the origin in cells, in each of which friction points one way.
FrictionBed rectangle_bed(double width, double height, double friction) {
  constexpr int cells = 12;
  const double w = width / cells, h = height / cells, area = w * h;
  const Eigen::Matrix2d own = area / 12 * Vector2d(w * w, h * h).asDiagonal().toDenseMatrix();
  std::vector<FrictionPiece> pieces;
  for (int i = 0; i < cells; ++i)
    for (int k = 0; k < cells; ++k) {
      const Vector2d middle(w * (i + 0.5) - width / 2, h * (k + 0.5) - height / 2);
      pieces.push_back({friction, area, area * middle, area * middle * middle.transpose() + own});
    }
  return friction_bed(pieces);
}

/// What one of two pads is asked for: half of the load.
struct HalfLoad {
  Vector2d side;                      ///< N, along y and z
  double twist = 0, apart = 0;        ///< N mm about x; N that lifts the pad
  Vector2d aside = Vector2d::Zero();  ///< N mm that its pressure along x must take, by levers along y and z
};

HalfLoad half_of(const Load& load) {
  const Vector3d moment = load.moment_about(Vector3d::Zero());
  return {load.force.tail<2>() / 2, std::abs(moment.x()) / 2, std::abs(load.force.x()) / 2,
          Vector2d(std::abs(moment.z()), std::abs(moment.y())) / 2};
}

/// The greatest multiple at which the pressure of the pad that is pressed less stands within the pad.
double within_pad(const Jaw& jaw, const HalfLoad& half) {
  double least = endless;
  for (Eigen::Index i = 0; i < 2; ++i) {
    const double reach = (*jaw.pad)[i] / 2;
    if (half.aside[i] > 0) least = std::min(least, jaw.force * reach / (half.aside[i] + half.apart * reach));
  }
  return least;
}

/// The multiple that friction holds where pressures stand aside as they do at another, `at`: less the greater that is.
double slips_at(const Jaw& jaw, const HalfLoad& half, double at, double most) {
  const double less = jaw.force - at * half.apart, more = jaw.force + at * half.apart;
  const Vector2d aside = at / less * half.aside, size = *jaw.pad - 2 * aside;
  if (!(less > 0) || !(size.minCoeff() > 0)) return 0;
  // The two pressures stand aside by unequal lengths: side forces then turn the part as well.
  const double turning = half.side.norm() / 2 * at * half.aside.norm() * (1 / less - 1 / more);
  const double area = size.x() * size.y();
  return greatest_held(rectangle_bed(size.x(), size.y(), jaw.friction), {jaw.force / area, Vector2d::Zero()},
                       {-half.apart / area, Vector2d::Zero()}, {half.side, half.twist + turning}, most);
}

/// What is held at one place, or at the multiple that it holds there, is held.
double slips(const Jaw& jaw, const HalfLoad& half, double peel) {
  const double parts = over(jaw.force, half.apart);
  double high = slips_at(jaw, half, 0, parts);
  if (half.aside.isZero(0) || !(high > 0)) return high;
  high = std::min(high, peel * (1 - 1e-9));
  double low = 0, best = 0, at = high;
  for (int round = 0; round < 12; ++round) {
    const double held = slips_at(jaw, half, at, parts);
    best = std::max(best, std::min(at, held));
    if (at <= held)
      low = at;
    else
      high = at;
    if (high <= low || high - best <= 1e-3 * high) break;
    const double between = (best + high) / 2;
    at = std::isfinite(between) ? between : 2 * at;
  }
  return best;
}

GripFactors two_pads(const Jaw& jaw, const Load& load) {
  const HalfLoad half = half_of(load);
  GripFactors factors;
  const double rounding = 1e-9 * jaw.force;  // less than this is demanded by no motion
  if (half.apart > rounding) factors.pull = jaw.force / half.apart;
  if (half.side.norm() > rounding)
    factors.slip = jaw.friction * jaw.force / (half.side.norm() + jaw.friction * half.apart);
  if (!jaw.pad) return factors;
  const double turning = rounding * jaw.pad->norm();
  if (half.aside.maxCoeff() > turning) factors.peel = within_pad(jaw, half);
  if (half.twist > turning || (std::isfinite(factors.slip) && std::isfinite(factors.peel)))
    factors.slip = slips(jaw, half, factors.peel);
  return factors;
}

GripFactors three_pads(const Jaw& jaw, const Load& load) {
  const double along = std::abs(load.force.z()), across = std::hypot(load.force.x(), load.force.y());
  GripFactors factors;
  const double rounding = 1e-9 * jaw.force;
  if (along > rounding) factors.slip = 3 * jaw.friction * jaw.force / along;
  if (across > rounding) factors.pull = 1.5 * jaw.force / across;  // 2/3 of it at the pad straight ahead
  return factors;
}

}  // namespace

GripFactors grip_factors(const Jaw& jaw, const Load& load) {
  constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
  if (load.force.hasNaN() || load.moment.hasNaN() || load.at.hasNaN()) return {unknown, unknown, unknown};
  return jaw.pads == 2 ? two_pads(jaw, load) : three_pads(jaw, load);
}

double moment_in_pads(const Jaw& jaw, const Load& load) {
  const Vector3d moment = load.moment_about(Vector3d::Zero());
  return std::abs(jaw.pads == 2 ? moment.x() : moment.z());
}

}  // namespace cellproof
