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

int run(int argc, char** argv) {
  CommandLine program("cellproof",
                      "cellproof: proves a robot cell that loads a milling machine, before any metal is cut");
  program.version("cellproof " CELLPROOF_VERSION);
  program.itself().closing(
      "Exit status: 0 passes or answered, 1 does not pass, 2 the input can't be used, 3 an internal error.\n"
      "Example: cellproof check models/flange-cell/mended.toml");
  add_check(program);
  add_where(program);
  add_reach(program);
  add_picture(program);
  add_survey(program);
  add_look(program);
  add_poses(program);
  add_compare(program);
  add_relief(program);
  add_facts(program);
  add_new(program);
  add_view(program);
  const auto request = program.read(argc, argv);
  if (!request) return refuse(fmt::format("cellproof: {}; {}", request.error().what, request.error().mend));
  put(request->text);
  const int status = request->run ? request->run() : exit_pass;
  if (const bool lost = std::fflush(stdout) != 0 || std::ferror(stdout); lost && status != exit_input)
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
