// SPDX-License-Identifier: GPL-3.0-or-later
// Lips between a rigid part and a rigid gripper as an even elastic bed: the pressure along them, and when it is gone.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/forces/friction_limit.hpp"
#include "scene/forces/tipping_lines.hpp"

namespace cellproof {

/// A lip in the seal plane, mm: a circle, or a closed outline.
struct Lip {
  Disk circle;  ///< where there are no corners
  Outline corners;
  double friction = 0;
};

/// Length (mm) of lips and sums over it, of x and of x x^T.
struct LipSums {
  double length = 0;
  Vector2d first = Vector2d::Zero();
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();
};
LipSums sums_of(const Lip& lip);

struct LipBed {
  Vector2d middle = Vector2d::Zero();                ///< of the lips' length: origin of all that follows
  double length = 0;                                 ///< mm
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();  ///< mm^3
  double narrow = 0;                                 ///< the smaller over the greater of its two chief values
  std::vector<Disk> edge;                            ///< circles and corners that bound all lips
  FrictionBed friction;
};
LipBed lip_bed(const std::vector<Lip>& lips);

/// The pressure whose sum is `force` (N) and whose first moments about the middle are `moments` (N mm). Not finite for
/// moments across lips that all lie on one line.
LinearPressure pressure_of(const LipBed& bed, double force, const Vector2d& moments);

/// The greatest t at which `constant` + t `change` presses at every point of the lips: circles by their point along the
/// slope, outlines by their corners. Infinite if at any; 0 if `constant` alone does not.
double greatest_pressed(const LipBed& bed, const LinearPressure& constant, const LinearPressure& change);

}  // namespace cellproof
