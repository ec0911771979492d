// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cstdio>
#include <exception>

#include <fmt/format.h>

#include "app/commands.hpp"

namespace cellproof {

int refuse(const std::string& line) {
  std::string one = line;
  std::replace_if(
      one.begin(), one.end(), [](char letter) { return letter == '\n' || letter == '\r'; }, ' ');
  std::fputs((one + "\n").c_str(), stderr);  // a closed standard error is no reason to end otherwise
  return exit_input;
}

void put(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
}

namespace {

std::vector<std::string> command_names(const CLI::App& program) {
  std::vector<std::string> names;
  for (const CLI::App* command : program.get_subcommands({})) names.push_back(command->get_name());
  return names;
}

/// The first word if it should be a command and is none, else nothing.
std::string unknown_command(const std::vector<std::string>& commands, int argc, char** argv) {
  if (argc < 2 || argv[1][0] == '-') return {};
  return std::find(commands.begin(), commands.end(), argv[1]) == commands.end() ? argv[1] : "";
}

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
  add_survey(program, status);
  add_look(program, status);
  add_poses(program, status);
  add_compare(program, status);
  add_relief(program, status);
  add_facts(program, status);
  add_new(program, status);
  add_view(program, status);
  for (CLI::App* command : program.get_subcommands({}))
    for (CLI::Option* option : command->get_options())
      option->check([](const std::string& value) { return std::string(value.empty() ? "is empty; give a value" : ""); },
                    "");
  const auto commands = command_names(program);
  if (const std::string word = unknown_command(commands, argc, argv); !word.empty())
    return refuse(fmt::format("cellproof: there is no command '{}'; use one of {}", word, fmt::join(commands, ", ")));
  try {
    program.parse(argc, argv);
  } catch (const CLI::Success& done) {
    return program.exit(done);
  } catch (const CLI::ParseError& error) {
    const auto given = program.get_subcommands();
    return refuse(fmt::format("cellproof: {}; see cellproof {}--help", error.what(),
                              given.empty() ? "" : given.front()->get_name() + " "));
  }
  if (std::fflush(stdout) != 0 || std::ferror(stdout))
    return refuse("cellproof: standard output can't be written; is its disk full or its reader gone?");
  return status;
}

}  // namespace

}  // namespace cellproof

int main(int argc, char** argv) {
  try {
    return cellproof::run(argc, argv);
  } catch (const std::exception& bug) {
    std::fputs(fmt::format("cellproof: internal error: {}\n", bug.what()).c_str(), stderr);
    return cellproof::exit_internal;
  }
}
