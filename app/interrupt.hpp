// SPDX-License-Identifier: GPL-3.0-or-later
// Ctrl-C asks long work to stop; pressed again it ends the program at once.
#pragma once

#include <stop_token>

namespace cellproof {

/// What the shell expects of a program that Ctrl-C ended.
inline constexpr int exit_interrupted = 130;

/// A token that Ctrl-C stops. To be asked for once, before the work begins.
std::stop_token stopped_by_interrupt();

}  // namespace cellproof
