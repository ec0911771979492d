// SPDX-License-Identifier: GPL-3.0-or-later
// Every joint solution of a pose, each verified by forward kinematics. In closed form where three consecutive axes meet
// or are parallel, wherever in the arm; by elimination otherwise.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "kinematics/arm.hpp"

namespace cellproof {

/// One solution. Values are the controller's, each in (-pi, pi].
struct Solution {
  Joints values = Joints::Constant(std::numeric_limits<double>::quiet_NaN());
  bool double_root = false;  ///< scaled least singular value below 1e-6: two solutions fall together here
  double position_error_mm = std::numeric_limits<double>::quiet_NaN();
  double angle_error = std::numeric_limits<double>::quiet_NaN();  ///< rad
};

struct Solutions {
  std::vector<Solution> all;  ///< every real solution, limits or not, none twice (1e-4 deg modulo turns)
  bool singular = false;      ///< a continuum exists; `all` holds representatives
};

/// Every joint solution that puts the flange at `flange_in_base`. Where a joint is free (a continuum), it takes
/// the DH angle it has at `reference` (controller's values) if the arm has a closed form. Error: the arm is singular in
/// every position; says so in a sentence.
tl::expected<Solutions, std::string> inverse(const Arm& arm, const Pose& flange_in_base,
                                             const Joints& reference = Joints::Zero());

/// Every choice of whole turns of `values` that lies within the joint limits and the limits on sums.
/// A whole turn of a DH angle is meant, so couplings are respected. Empty if there is none.
std::vector<Joints> whole_turns(const Arm& arm, const Joints& values);

}  // namespace cellproof
