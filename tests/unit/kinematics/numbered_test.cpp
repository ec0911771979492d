// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/numbered.hpp"

#include <vector>

#include <catch2/catch.hpp>

#include "kinematics/types.hpp"

using namespace cellproof;

TEST_CASE("a numbered list takes a signed and an unsigned number and an enumerator alike") {
  enum class Side { left, right };
  Numbered<double, 3> values{1.5, 2.5, 3.5};
  CHECK(values[1] == 2.5);
  CHECK(values[std::size_t{1}] == 2.5);
  CHECK(values[Eigen::Index{1}] == 2.5);
  CHECK(values[Side::right] == 2.5);
  values[2] = 4;
  CHECK(values.back() == 4);
  CHECK(values.size() == 3);
}

TEST_CASE("an iterator's place in its list is counted from the front, the end's is the size") {
  const std::vector<int> list{7, 8, 9};
  CHECK(place_in(list, list.begin()) == 0);
  CHECK(place_in(list, list.begin() + 2) == 2);
  CHECK(place_in(list, list.end()) == 3);
  const Numbered<int, 2> pair{1, 2};
  CHECK(place_in(pair, pair.begin() + 1) == 1);
}
