// SPDX-License-Identifier: GPL-3.0-or-later
// Poses and joint values as one would write them into the cell file.
#pragma once

#include <string>

#include "kinematics/types.hpp"
#include "scene/basics/units.hpp"

namespace cellproof {

/// A number to two decimals, without zeros that say nothing: "12.5".
std::string plain_number(double value);

/// "{ xyz = [x, y, z], turn = [r, p, y] }" in mm and degrees to two decimals, which are spelled out where the file's
/// bare numbers mean something else; without `turn` where there is none.
std::string pose_text(const Pose& pose, const DefaultUnits& units);

/// The pose that `pose_text` writes: what is proved is what is printed.
Pose as_written(const Pose& pose);

/// "[q1, …, q6]" in degrees to two decimals, as above.
std::string joints_text(const Joints& joints, const DefaultUnits& units);
Joints as_written(const Joints& joints);

}  // namespace cellproof
