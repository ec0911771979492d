// SPDX-License-Identifier: GPL-3.0-or-later
// How bodies move during one stretch: where each is at a share of the path, and how far two of them can move apart.
#pragma once

#include <map>
#include <vector>

#include "kinematics/motion_bounds.hpp"
#include "scene/cycle.hpp"

namespace cellproof {

/// What moves a body during a stretch: nothing, a link of the moving arm, or a shifting frame.
/// Its pose in world is before · (what moves) · after.
struct Mover {
  enum class By { nothing, link, shift } by = By::nothing;
  int number = -1;  ///< link 1 … 6, or index into the stretch's shifts
  Pose before = Pose::Identity(), after = Pose::Identity();
  CarriedHull hull;  ///< corners of the body's box in the frame that moves (link or shifting frame)
};

/// Distances between two instants: an upper bound of how far any point of one body can move relative to the other.
class CarriedMotion {
 public:
  CarriedMotion(const Scene& scene, const Stretch& stretch);

  Mover mover_of(int body) const;
  Pose pose(const Mover& mover, double share);
  /// Upper bound (mm) over the path between two shares.
  double relative_travel(const Mover& a, const Mover& b, double from, double to);
  /// True if nothing moves one against the other at all.
  bool stands_still(const Mover& a, const Mover& b) const;

 private:
  const ArmFrames& frames_at(double share);
  double tool_travel(const Mover& mover, double from, double to) const;

  const Scene& scene_;
  const Stretch& stretch_;
  bool arm_moves_;
  std::map<double, ArmFrames> frames_;  ///< many pairs ask for the same instants
};

}  // namespace cellproof
