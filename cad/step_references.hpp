// SPDX-License-Identifier: GPL-3.0-or-later
// Lines of a STEP file that refer to lines which are not there. The library drops them without a word, and comes back
// with the rest of the part.
#pragma once

#include <string>
#include <string_view>

namespace cellproof::cad {

/// A number that is referred to and that no line of the file bears, with its #; empty if there is none.
std::string missing_line(std::string_view text);

}  // namespace cellproof::cad
