// SPDX-License-Identifier: GPL-3.0-or-later
// A proof as a command asks for it: told on the terminal, stopped by Ctrl-C.
#pragma once

#include <tl/expected.hpp>

#include "checks/prove.hpp"

namespace cellproof {

/// To be asked for once, before the work begins. On `threads` threads, 0: all there are.
Run command_run(int threads);

/// Says that work was stopped, and returns the exit status for it.
int tell_interrupted();

/// The proof, or the exit status of the command, whose line is out then: unusable input, or stopped.
tl::expected<Proof, int> command_proof(const Cell& cell, const Run& run);

}  // namespace cellproof
