// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/free_joint.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

FreePlaces nearest_within(const CircularForm& form, double low, double high, double reference, double touching) {
  const double size = std::hypot(form.cosine, form.sine), slack = touching * (std::abs(form.constant) + size);
  FreePlaces places;
  if (form.constant - size > high + slack || form.constant + size < low - slack) return places;
  if (size < vanishing) {
    places.angles[places.count++] = reference;
    return places;
  }
  // From the crest the form falls on either side: it is within from `near` to `far`.
  const auto off_crest = [&](double level) { return std::acos(std::clamp((level - form.constant) / size, -1.0, 1.0)); };
  const double crest = std::atan2(form.sine, form.cosine), near = off_crest(high), far = off_crest(low);
  const double off = std::remainder(reference - crest, 2 * pi), side = off < 0 ? -1 : 1;
  const double mine = std::clamp(std::abs(off), near, far);
  places.angles[places.count++] = mine == std::abs(off) ? reference : crest + side * mine;
  if (near > 0 && far < pi) {
    const double across = std::abs(off) + near < 2 * pi - std::abs(off) - far ? near : far;
    places.angles[places.count++] = crest - side * across;
  }
  return places;
}

}  // namespace cellproof
