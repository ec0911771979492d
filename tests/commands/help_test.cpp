// SPDX-License-Identifier: GPL-3.0-or-later
// What the command line says of itself, and how it takes words that it does not know.
#include <regex>
#include <sstream>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

/// The commands that the program's own help lists: the first words of the lines below "Subcommands:".
std::vector<std::string> listed_commands(const Folder& folder) {
  const std::string help = run(folder, {"--help"}).output;
  const std::size_t list = help.find("\nSubcommands:\n");
  REQUIRE(list != std::string::npos);
  std::istringstream lines(help.substr(list + std::string("\nSubcommands:\n").size()));
  std::vector<std::string> commands;
  for (std::string line; std::getline(lines, line) && !line.empty();)
    if (line.size() > 2 && line[2] != ' ') commands.push_back(line.substr(2, line.find(' ', 2) - 2));
  return commands;
}

/// As many as app/main.cpp adds: each has its function add_….
std::size_t commands_in_source() {
  const std::string source = content_of(fs::path(CELLPROOF_SOURCE_DIR) / "app" / "main.cpp");
  std::size_t count = 0;
  for (std::size_t at = source.find("  add_"); at != std::string::npos; at = source.find("  add_", at + 1)) ++count;
  return count;
}

}  // namespace

TEST_CASE("every command has a help with an example of itself") {
  const Folder folder;
  const auto commands = listed_commands(folder);
  CHECK(commands.size() == commands_in_source());
  CHECK(commands.size() >= 12);
  for (const std::string& command : commands) {
    const Answer answer = run(folder, {command, "--help"});
    INFO(answer.output);
    CHECK(answer.status == 0);
    CHECK(answer.output.find(fmt::format("Example: cellproof {} ", command)) != std::string::npos);
    CHECK(answer.output.find(fmt::format("Usage: cellproof {} ", command)) != std::string::npos);
    CHECK(answer.error.empty());
  }
}

TEST_CASE("the README tells every command") {
  const Folder folder;
  const std::string readme = content_of(fs::path(CELLPROOF_SOURCE_DIR) / "README.md");
  for (const std::string& command : listed_commands(folder)) {
    INFO(command);
    CHECK(readme.find(fmt::format("\ncellproof {} ", command)) != std::string::npos);
  }
}

TEST_CASE("the program's own help says what it is, what it ends with and an example") {
  const Folder folder;
  const Answer answer = run(folder, {"--help"});
  CHECK(answer.status == 0);
  CHECK(answer.error.empty());
  for (const std::string word : {"proves a robot cell", "Exit status: 0", "Example: cellproof"}) {
    INFO(word);
    CHECK(answer.output.find(word) != std::string::npos);
  }
}

TEST_CASE("the version is a line of its own") {
  const Folder folder;
  const Answer answer = run(folder, {"--version"});
  CHECK(answer.status == 0);
  CHECK(is_one_line(answer.output));
  CHECK(std::regex_match(answer.output, std::regex("cellproof [0-9]+\\.[0-9]+\\.[0-9]+\n")));
}

TEST_CASE("an option whose value is empty is refused") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const std::vector<std::vector<std::string>> calls = {{"check", ""},
                                                       {"check", "cell.toml", "--json="},
                                                       {"check", "cell.toml", "--json", ""},
                                                       {"survey", "cell.toml", "spots", "--join", "part1", ""},
                                                       {"picture", "cell.toml", "--out", "a.png", "--hide", ""}};
  for (const auto& words : calls) {
    const Answer answer = run(folder, words);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(folder.count() == 1);
  }
}

TEST_CASE("words that are not known end with 2 and one line") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const std::vector<std::vector<std::string>> calls = {{},
                                                       {"prove", "cell.toml"},
                                                       {"check"},
                                                       {"check", "cell.toml", "--fast"},
                                                       {"check", "cell.toml", "cell.toml"},
                                                       {"where", "cell.toml"},
                                                       {"picture", "cell.toml"}};
  for (const auto& words : calls) {
    const Answer answer = run(folder, words);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.output.empty());
  }
  CHECK(run(folder, {"prove", "cell.toml"}).error.find("'prove'") != std::string::npos);
}
