// SPDX-License-Identifier: GPL-3.0-or-later
// A part that stands on two of its rests alone.
#pragma once

#include <array>

#include "scene/forces/contact_forces.hpp"

namespace cellproof {

/// Two rests in the plane z = 0, mm.
class TwoRests {
 public:
  TwoRests(const Vector2d& first, const Vector2d& second, double friction);

  /// N mm: what would tip the part off the line through both; 0 where they carry it alone.
  double off_line(const Wrench& load) const;

  /// What each is pressed with (N) by a load on the line; negative where the part would lift off it.
  std::array<double, 2> pressed(const Wrench& load) const;

  /// True if friction alone holds a load on the line: across the line each carries what the balance of moments gives
  /// it, along it both carry what is left to them (closed form).
  bool hold(const Wrench& load) const;

  /// The friction of each (N, seat's xy) where `hold`, else as near to it as they come.
  std::array<Vector2d, 2> friction(const Wrench& load) const;

  /// How the part gives at the limit: true if it turns rather than slides.
  bool turns(const Wrench& load) const;

 private:
  std::array<double, 2> across(const Wrench& load) const;

  Vector2d first_, way_, side_;
  double apart_, friction_;
};

}  // namespace cellproof
