// SPDX-License-Identifier: GPL-3.0-or-later
// Keys by content.
#include "scene/basics/content_key.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("contents differ in their hash") {
  CHECK(content_hash("a").size() == 32);
  CHECK(content_hash("a") != content_hash("b"));
  // printed: the test value of XXH3's 128 bits for no input at all
  CHECK(content_hash("") == "99aa06d3014798d86001c324468d497f");
}
