// SPDX-License-Identifier: GPL-3.0-or-later
#include <cstdio>
#include <exception>

#include <fmt/format.h>

#include "app/commands.hpp"

namespace cellproof {

int refuse(const std::string& line) {
  fmt::print(stderr, "{}\n", line);
  return exit_input;
}

namespace {

int run(int argc, char** argv) {
  CLI::App program("cellproof: proves a robot cell that loads a milling machine, before any metal is cut", "cellproof");
  program.set_version_flag("--version", "cellproof 0.1.0");
  program.require_subcommand(1);
  program.footer(
      "Exit status: 0 passes or answered, 1 does not pass, 2 the input can't be used, 3 an internal error.\n"
      "Example: cellproof check models/flange-cell/mended.toml");
  int status = exit_pass;
  add_check(program, status);
  add_where(program, status);
  add_reach(program, status);
  add_picture(program, status);
  try {
    program.parse(argc, argv);
  } catch (const CLI::Success& done) {
    return program.exit(done);
  } catch (const CLI::ParseError& error) {
    return refuse(fmt::format("cellproof: {}; see cellproof --help", error.what()));
  }
  return status;
}

}  // namespace

}  // namespace cellproof

int main(int argc, char** argv) {
  try {
    return cellproof::run(argc, argv);
  } catch (const std::exception& bug) {
    fmt::print(stderr, "cellproof: internal error: {}\n", bug.what());
    return cellproof::exit_internal;
  }
}
