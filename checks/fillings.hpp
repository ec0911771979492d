// SPDX-License-Identifier: GPL-3.0-or-later
// One seat, several fillings of the others: what the controller can't tell apart.
#pragma once

#include "checks/report.hpp"

namespace cellproof {

/// A caution for each seat at which the arm takes other joint values with one filling of the other seats than with
/// another: a program has one set of them.
std::vector<Finding> filling_findings(const Cycle& cycle);

}  // namespace cellproof
