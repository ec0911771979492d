// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/told_apart.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a figure has as many digits as tell it from what is asked, and no fewer than usual") {
  CHECK(told_from(4.2, 5, 2) == "4.20");
  CHECK(told_from(4.998, 5, 2) == "4.998");
  CHECK(told_from(1.9999996, 2, 2) == "1.9999996");
  CHECK(told_from(0, 5, 2) == "0.00");
  CHECK(digits_apart(15.74, 15.73, 1) == 2);
  CHECK(digits_apart(1.371, 1.374, 2) == 3);
  CHECK(digits_apart(5, 5, 2) == 2);  // nothing tells them apart
}
