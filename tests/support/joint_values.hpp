// SPDX-License-Identifier: GPL-3.0-or-later
// Joint values as people write them.
#pragma once

#include "kinematics/types.hpp"

namespace cellproof::test {

inline Joints in_degrees(double a, double b, double c, double d, double e, double f) {
  Joints values;
  values << a, b, c, d, e, f;
  return values * (pi / 180);
}

}  // namespace cellproof::test
