// SPDX-License-Identifier: GPL-3.0-or-later
// What drives the window by itself: a verb a line, for tests and for pictures.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

struct ScriptStep {
  std::string verb;
  std::vector<std::string> words;
  int line = 0;
};

/// A verb with the words that follow it, each a word of the help: "hide" "NAME".
struct ScriptVerb {
  std::string verb, words, what;
  int count = 0;  ///< of words
};
const std::vector<ScriptVerb>& script_verbs();

/// Words are parted by blanks; a name with blanks stands in double quotes; # begins a remark.
/// Error: "LINE: what is wrong; what to do".
tl::expected<std::vector<ScriptStep>, std::string> read_script(std::string_view text);

}  // namespace cellproof
