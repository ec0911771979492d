// SPDX-License-Identifier: GPL-3.0-or-later
// The commands: each adds itself to the command line and sets the exit status when it ran.
#pragma once

#include <CLI/CLI.hpp>

namespace cellproof {

/// 0 passes or answered, 1 does not pass, 2 the input can't be used, 3 an internal error.
enum Exit { exit_pass = 0, exit_fail = 1, exit_input = 2, exit_internal = 3 };

void add_check(CLI::App& program, int& status);
void add_where(CLI::App& program, int& status);
void add_reach(CLI::App& program, int& status);
void add_picture(CLI::App& program, int& status);
void add_survey(CLI::App& program, int& status);
void add_facts(CLI::App& program, int& status);
void add_look(CLI::App& program, int& status);
void add_compare(CLI::App& program, int& status);
void add_poses(CLI::App& program, int& status);
void add_relief(CLI::App& program, int& status);
void add_new(CLI::App& program, int& status);
void add_view(CLI::App& program, int& status);

/// Text to standard output; main sees whether it got there.
void put(const std::string& text);

/// One line on standard error; the status for unusable input.
int refuse(const std::string& line);

}  // namespace cellproof
