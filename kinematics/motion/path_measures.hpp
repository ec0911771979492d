// SPDX-License-Identifier: GPL-3.0-or-later
// What a path asks of the arm: how near it comes to limits and to singular poses.
#pragma once

#include "kinematics/motion/path.hpp"

namespace cellproof {

/// The least of each along the whole path, and where.
struct PathMeasures {
  double limit_margin =
      std::numeric_limits<double>::quiet_NaN();  ///< rad, over joints and sums; exact: straight between knots
  Joints at_limit = Joints::Zero();
  double manipulability = std::numeric_limits<double>::quiet_NaN();  ///< |det J| at the flange, lengths in metres
  double singular_value =
      std::numeric_limits<double>::quiet_NaN();  ///< least of the Jacobian, lengths over length_scale
  double singular_s = std::numeric_limits<double>::quiet_NaN();
  Joints at_singular = Joints::Zero();
};

/// Sampled at no more than 2 degrees of any joint, refined about each sample lower than its neighbours by golden
/// section.
PathMeasures measure_path(const Arm& arm, const Path& path);

}  // namespace cellproof
