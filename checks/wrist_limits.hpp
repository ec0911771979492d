// SPDX-License-Identifier: GPL-3.0-or-later
// What hangs on the wrist beside what the arm's `payload` allows.
#pragma once

#include <string>
#include <vector>

#include "checks/wrist_measure.hpp"

namespace cellproof {

struct WristLimit {
  std::string what, unit;
  double carried, allowed;  ///< in `unit`
};

/// One for each figure of `payload` that the measure has.
std::vector<WristLimit> wrist_limits(const Payload& payload, const WristMeasure& wrist);

}  // namespace cellproof
