// SPDX-License-Identifier: GPL-3.0-or-later
// Figures that fail are printed so that they can be told from what is asked.
#pragma once

#include <string>

namespace cellproof {

/// How many digits behind the point tell two numbers apart: so many as asked for, at most nine.
int digits_apart(double a, double b, int at_least);

/// `measured` with so many digits that it does not read as `asked`.
std::string told_from(double measured, double asked, int at_least);

}  // namespace cellproof
