// SPDX-License-Identifier: GPL-3.0-or-later
// On how many threads a command works; its answer does not depend on it.
#pragma once

#include "command_line/command_line.hpp"

namespace cellproof {

/// Adds --threads N; 0 or left out: all there are.
void add_threads(Command& command, int& threads);

}  // namespace cellproof
