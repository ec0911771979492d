// SPDX-License-Identifier: GPL-3.0-or-later
// The greatest multiple of a side force and a twist that friction in a plane holds, under a pressure that changes with
// it.
#pragma once

#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// A piece of a lip or a pad, its places x in mm: sums over its length (mm) or area (mm^2).
struct FrictionPiece {
  double friction = 0;
  double size = 0;                                   ///< of 1
  Vector2d first = Vector2d::Zero();                 ///< of x
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();  ///< of x x^T
};

/// A pressure that is linear over the plane, in N/mm along a lip or N/mm^2 on a pad.
struct LinearPressure {
  double at_origin = 0;
  Vector2d slope = Vector2d::Zero();
  double at(const Vector2d& point) const { return at_origin + slope.dot(point); }
};

/// A force along the plane (N) and its moment about the plane's origin (N mm).
struct SideLoad {
  Vector2d force = Vector2d::Zero();
  double moment = 0;
};

/// Pieces made ready to be asked.
struct FrictionBed {
  /// Sums of pieces times their friction, lengths over `unit`; a number, or four of them for four pieces.
  template <class Number>
  struct Sums {
    Number size = Number(0), x = Number(0), y = Number(0), xx = Number(0), xy = Number(0), yy = Number(0);
  };
  std::vector<Sums<Eigen::Array4d>> fours;  ///< the last filled up with nothing
  double unit = 1;                          ///< mm: how far the pieces lie from the origin, root of the mean square
  double reach = 0;                         ///< of `unit`: how far the furthest piece's middle does
  Sums<double> sum;                         ///< of all pieces
  Sums<double> middles;                     ///< of all pieces, as if each were a point at its middle
  Vector2d leant{0, 0};                     ///< of second times middle
};
FrictionBed friction_bed(const std::vector<FrictionPiece>& pieces);

/// The greatest multiple t <= `most` at which friction holds t times the load under the pressure
/// `constant` + t `change`, which presses everywhere up to `most`. Infinite where nothing is asked.
/// Limit analysis of plane sliding (S. Goyal, A. Ruina, J. Papadopoulos, Wear 143:307-330, 1991): over each piece
/// friction points one way, which is exactly admissible, so that by the static theorem the answer is never too great.
/// The ways are those of the motion that the load can make begin, found by Newton's method on the power that friction
/// takes; what is left unbalanced then is balanced by a field that is known to be admissible, and costs its share. The
/// pieces' length costs its square.
double greatest_held(const FrictionBed& bed, const LinearPressure& constant, const LinearPressure& change,
                     const SideLoad& load, double most);

}  // namespace cellproof
