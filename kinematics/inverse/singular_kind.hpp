// SPDX-License-Identifier: GPL-3.0-or-later
// What makes a pose singular: which joints turn against each other there, and what that is called.
#pragma once

#include <string>
#include <vector>

#include "kinematics/arm.hpp"

namespace cellproof {

struct SingularKind {
  std::string name;         ///< "shoulder", "elbow" or "wrist", for arms that have such; else empty
  std::vector<int> joints;  ///< 1 to 6, those that take part
};

/// Of the nearest singular pose, for a pose close to one. The joints are those of the right singular vector of the
/// Jacobian's least singular value (lengths over length_scale) with at least a tenth of its greatest entry: turned in
/// that proportion they hardly move the tool. Arms as for configuration_name: joint 1 takes part at the shoulder (the
/// wrist stands on axis 1), only joints of the wrist do at the wrist, the others do at the elbow (the arm is stretched
/// or folded).
SingularKind singular_kind(const Arm& arm, const Joints& values);

/// As "wrist, joints 4 and 6".
std::string text_of(const SingularKind& kind);

}  // namespace cellproof
