// SPDX-License-Identifier: GPL-3.0-or-later
// What the command line says of itself, and how it takes words that it does not know.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;

TEST_CASE("every command has a help with an example of itself") {
  const Folder folder;
  for (const std::string command : {"check", "where", "reach", "picture", "facts", "new"}) {
    const Answer answer = run(folder, {command, "--help"});
    INFO(answer.output);
    CHECK(answer.status == 0);
    CHECK(answer.output.find(fmt::format("Example: cellproof {}", command)) != std::string::npos);
    CHECK(answer.error.empty());
  }
}

TEST_CASE("the program's own help names every command and an example") {
  const Folder folder;
  const Answer answer = run(folder, {"--help"});
  CHECK(answer.status == 0);
  for (const std::string word : {"check", "where", "reach", "picture", "facts", "new", "Example: cellproof"}) {
    INFO(word);
    CHECK(answer.output.find(word) != std::string::npos);
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
