// SPDX-License-Identifier: GPL-3.0-or-later
// The commands: each adds itself to the command line.
#pragma once

#include <string>

#include "command_line/command_line.hpp"

namespace cellproof {

/// 0 passes or answered, 1 does not pass, 2 the input can't be used, 3 an internal error.
enum Exit { exit_pass = 0, exit_fail = 1, exit_input = 2, exit_internal = 3 };

void add_check(CommandLine& program);
void add_where(CommandLine& program);
void add_reach(CommandLine& program);
void add_picture(CommandLine& program);
void add_survey(CommandLine& program);
void add_facts(CommandLine& program);
void add_look(CommandLine& program);
void add_compare(CommandLine& program);
void add_poses(CommandLine& program);
void add_relief(CommandLine& program);
void add_new(CommandLine& program);
void add_view(CommandLine& program);

/// Text to standard output; main sees whether it got there.
void put(const std::string& text);

/// One line on standard error; the status for unusable input.
int refuse(const std::string& line);

}  // namespace cellproof
