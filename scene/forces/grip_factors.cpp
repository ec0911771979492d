// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/grip_factors.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

std::string_view limit_name(GripLimit limit) {
  switch (limit) {
    case GripLimit::pull:
      return "pull";
    case GripLimit::slip:
      return "slip";
    case GripLimit::peel:
      return "peel";
  }
  return "";
}

double GripFactors::least() const {
  if (std::isnan(pull) || std::isnan(slip) || std::isnan(peel)) return std::numeric_limits<double>::quiet_NaN();
  return std::min({pull, slip, peel});
}

GripLimit GripFactors::limited_by() const {
  if (peel <= slip && peel <= pull) return GripLimit::peel;
  return slip <= pull ? GripLimit::slip : GripLimit::pull;
}

}  // namespace cellproof
