// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/script.hpp"

#include <algorithm>
#include <sstream>

#include <fmt/format.h>

namespace cellproof {

namespace {

tl::expected<std::vector<std::string>, std::string> words_of(const std::string& line) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < line.size() && line[at] != '#';) {
    if (line[at] == ' ' || line[at] == '\t' || line[at] == '\r') {
      ++at;
      continue;
    }
    const bool quoted = line[at] == '"';
    const std::size_t from = quoted ? at + 1 : at;
    std::size_t to = quoted ? line.find('"', from) : line.find_first_of(" \t\r", from);
    if (quoted && to == std::string::npos) return tl::unexpected(std::string("a quote is not closed; add \""));
    to = std::min(to, line.size());
    words.push_back(line.substr(from, to - from));
    at = to + (quoted ? 1 : 0);
  }
  return words;
}

tl::expected<ScriptStep, std::string> step_of(std::vector<std::string> words) {
  const auto verb = std::ranges::find(script_verbs(), words.front(), &ScriptVerb::verb);
  if (verb == script_verbs().end())
    return tl::unexpected(fmt::format("there is no verb '{}'; see cellproof-window --help", words.front()));
  ScriptStep step{words.front(), {}, 0};
  step.words.assign(words.begin() + 1, words.end());
  if (static_cast<int>(step.words.size()) != verb->count)
    return tl::unexpected(fmt::format("'{}' takes {} words and got {}; write {} {}", verb->verb, verb->count,
                                      step.words.size(), verb->verb, verb->words));
  return step;
}

}  // namespace

const std::vector<ScriptVerb>& script_verbs() {
  static const std::vector<ScriptVerb> verbs{
      {"open", "CELL", "another cell", 1},
      {"await-proof", "", "waits for the next proof, or for what is wrong with the file; tells how long it took", 0},
      {"replace", "FILE WITH", "copies another file over one, as an export from CAD does", 2},
      {"play", "SECONDS", "plays for so long", 1},
      {"scrub", "SHARE", "goes to a share, 0 to 1, of the line of time", 1},
      {"next-finding", "", "goes to the next finding", 0},
      {"hide", "NAME", "hides a body", 1},
      {"show", "NAME", "shows it again", 1},
      {"see-through", "NAME", "lets one see through a body, or no longer", 1},
      {"view", "SIDE", "quarter, front, back, left, right, top or fit", 1},
      {"zoom", "CLICKS", "as the mouse's wheel", 1},
      {"unit", "UNIT", "mm or in", 1},
      {"camera", "NAME", "shows what a camera sees", 1},
      {"page", "NAME", "findings, bodies or move", 1},
      {"place", "NAME X Y Z YAW", "moves a body or the base, mm and degrees, and proves it there", 5},
      {"screenshot", "FILE", "writes the window as a PNG file", 1},
      {"measure", "SECONDS", "scrubs for so long and prints the frames a second that were shown", 1},
      {"quit", "", "closes the window", 0},
  };
  return verbs;
}

tl::expected<std::vector<ScriptStep>, std::string> read_script(std::string_view text) {
  std::vector<ScriptStep> steps;
  std::istringstream lines{std::string(text)};
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    auto words = words_of(line);
    if (!words) return tl::unexpected(fmt::format("{}: {}", number, words.error()));
    if (words->empty()) continue;
    auto step = step_of(std::move(*words));
    if (!step) return tl::unexpected(fmt::format("{}: {}", number, step.error()));
    step->line = number;
    steps.push_back(std::move(*step));
  }
  return steps;
}

}  // namespace cellproof
