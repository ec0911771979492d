// SPDX-License-Identifier: GPL-3.0-or-later
// A part that stands on three of its rests alone: what presses each follows from balance.
#pragma once

#include <array>
#include <optional>

#include "scene/forces/contact_forces.hpp"

namespace cellproof {

/// Three rests in the plane z = 0, mm.
class ThreeRests {
 public:
  ThreeRests(const Vector2d& a, const Vector2d& b, const Vector2d& c, double friction);

  /// False for three in one line.
  bool make_a_plane() const { return plane_; }

  /// What each is pressed with (N); negative where the part would lift off it.
  Vector3d pressed(const Wrench& load) const;

  /// From which to which multiple of the load, beside the constant one, no rest would lift off; nothing where never.
  struct Multiples {
    double first = 0, last = 0;
  };
  std::optional<Multiples> carried(const Wrench& constant, const Wrench& load) const;

  /// True if friction shared by what presses each rest, with a twist about the middle of the pressing, does it. Where
  /// it does not, another share still may.
  bool hold_easily(const Wrench& load) const;

 private:
  std::array<Vector2d, 3> rests_;
  Eigen::Matrix3d shares_;  ///< of force and pressing moments among the rests
  double friction_;
  bool plane_ = false;
};

}  // namespace cellproof
