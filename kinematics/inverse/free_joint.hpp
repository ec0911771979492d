// SPDX-License-Identifier: GPL-3.0-or-later
// Where a joint is put that a pose leaves free: as near to its reference as the rest of the loop closes.
#pragma once

#include <array>

#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {

/// Up to two angles at which low <= form <= high: the nearest to `reference` in each of the two arcs (the one arc, or
/// the whole circle, gives one). A miss by less than `touching` of the form's size counts as one.
struct FreePlaces {
  std::array<double, 2> angles{};
  std::size_t count = 0;
  const double* begin() const { return angles.data(); }
  const double* end() const { return angles.data() + count; }
};
FreePlaces nearest_within(const CircularForm& form, double low, double high, double reference, double touching);

/// Calls `rest` with `reference`; if that adds no candidate, with the nearest angle on either side that does. Looked
/// for in steps of a 128th of a turn, then halved to the place where the loop closes: arcs that are narrower can be
/// missed, and where nothing closes `unsure` is set.
template <typename Rest>
void place_free_joint(double reference, Candidates& found, const Rest& rest) {
  const auto closes = [&](double angle) {
    const std::size_t known = found.count;
    rest(angle);
    return found.count != known;
  };
  if (closes(reference)) return;
  constexpr double step = pi / 64;
  for (const double side : {step, -step}) {
    int steps = 1;
    const std::size_t mine = found.count;
    while (steps <= 128 && !closes(reference + side * steps)) ++steps;
    found.count = mine;
    if (steps > 128) {
      found.unsure = true;
      return;
    }
    double open = steps - 1, closed = steps;
    for (int round = 0; round < 44; ++round) {
      const double middle = (open + closed) / 2;
      (closes(reference + side * middle) ? closed : open) = middle;
      found.count = mine;
    }
    rest(reference + side * closed);
  }
}

}  // namespace cellproof
