// SPDX-License-Identifier: GPL-3.0-or-later
// How many times over a grip holds a load.
#pragma once

#include <limits>
#include <string_view>

namespace cellproof {

enum class GripLimit { pull, slip, peel };
std::string_view limit_name(GripLimit limit);  ///< "pull", "slip", "peel"

/// Holding force over what the load demands, in each way of letting go; infinite where the load demands nothing.
struct GripFactors {
  double pull = std::numeric_limits<double>::infinity();
  double slip = std::numeric_limits<double>::infinity();
  double peel = std::numeric_limits<double>::infinity();

  /// NaN comes through: a load that is not known is never held.
  double least() const;
  GripLimit limited_by() const;  ///< of equals peel, then slip
};

}  // namespace cellproof
