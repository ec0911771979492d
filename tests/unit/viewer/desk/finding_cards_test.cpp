// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/finding_cards.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("The way through the findings goes round and round") {
  CHECK(next_group(3, std::nullopt, false) == 0U);
  CHECK(next_group(3, std::nullopt, true) == 2U);
  CHECK(next_group(3, 2, false) == 0U);
  CHECK(next_group(3, 0, true) == 2U);
  CHECK_FALSE(next_group(0, std::nullopt, false));
}
