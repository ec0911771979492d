// SPDX-License-Identifier: GPL-3.0-or-later
// Option values with units, as the cell file has them: "1 in,0,0", "-10,20,0,0,45,0".
#pragma once

#include <string>

#include <tl/expected.hpp>

#include "kinematics/types.hpp"

namespace cellproof {

tl::expected<Joints, std::string> joints_of_option(const std::string& text);
tl::expected<Vector3d, std::string> lengths_of_option(const std::string& text);
tl::expected<double, std::string> length_of_option(const std::string& text);
tl::expected<Vector3d, std::string> angles_of_option(const std::string& text);

/// A picture is a PNG file; a name with another ending would mislead.
bool names_png(const std::string& file);

}  // namespace cellproof
