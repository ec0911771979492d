// SPDX-License-Identifier: GPL-3.0-or-later
// Progress of long work, on a terminal only.
#pragma once

#include <functional>
#include <string>

namespace cellproof {

/// Tells share and what on one line of standard error; empty if that is no terminal.
std::function<void(double, const std::string&)> terminal_progress();

/// Wipes that line.
void end_progress();

}  // namespace cellproof
