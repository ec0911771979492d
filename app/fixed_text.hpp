// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers to so many decimals, without what rounding leaves of a sign.
#pragma once

#include <string>

namespace cellproof {

/// "0.000", never "-0.000".
std::string fixed_text(double value, int decimals);

/// A roll or a yaw (deg): half a turn either way is the same, and is told as 180. Not for joint values, whose turns
/// count.
std::string fixed_turn_text(double degrees, int decimals);

}  // namespace cellproof
