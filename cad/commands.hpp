// SPDX-License-Identifier: GPL-3.0-or-later
// The verbs of the helper program: each adds itself to the command line. What goes wrong with the input is thrown as
// Refused and becomes one sentence on standard error.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

#include "command_line/command_line.hpp"

namespace cellproof::cad {

enum Exit { exit_done = 0, exit_refused = 2, exit_internal = 3 };

class Refused : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

void add_tessellate(CommandLine& program);
void add_solids(CommandLine& program);
void add_write(CommandLine& program);
void add_cut_mesh(CommandLine& program);
void add_cut_step(CommandLine& program);

/// All of standard input.
std::string standard_input();
/// To the standard output that the program was started with.
void answer(std::string_view bytes);

}  // namespace cellproof::cad
