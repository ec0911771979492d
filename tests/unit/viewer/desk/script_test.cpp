// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/script.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("A script is a verb a line, names with blanks in quotes, remarks left out") {
  const auto steps = read_script("# opens\nnext-finding\n\nhide \"signal post\"   # away\nscrub 0.5\r\nquit\n");
  REQUIRE(steps);
  REQUIRE(steps->size() == 4);
  CHECK((*steps)[0].verb == "next-finding");
  CHECK((*steps)[1].words == std::vector<std::string>{"signal post"});
  CHECK((*steps)[1].line == 4);
  CHECK((*steps)[2].words == std::vector<std::string>{"0.5"});
  CHECK((*steps)[3].verb == "quit");
}

TEST_CASE("A script that can't be run says where and what to do") {
  CHECK(read_script("quit\ndance\n").error() == "2: there is no verb 'dance'; see cellproof-window --help");
  CHECK(read_script("hide\n").error() == "1: 'hide' takes 1 words and got 0; write hide NAME");
  CHECK(read_script("hide \"signal post\n").error() == "1: a quote is not closed; add \"");
}

TEST_CASE("Every verb has as many words as its help shows") {
  for (const ScriptVerb& verb : script_verbs()) {
    int words = verb.words.empty() ? 0 : 1;
    for (const char letter : verb.words) words += letter == ' ' ? 1 : 0;
    INFO(verb.verb);
    CHECK(words == verb.count);
    CHECK_FALSE(verb.what.empty());
  }
}
