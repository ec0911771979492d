// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/tipping_lines.hpp"

#include <random>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a square of points tips about its four sides") {
  const auto lines = tipping_lines({{{0, 0}, 0}, {{10, 0}, 0}, {{10, 10}, 0}, {{0, 10}, 0}, {{5, 5}, 0}, {{5, 0}, 0}});
  CHECK(lines.size() == 4);
  CHECK(least_inward(lines, {5, 5}) == Approx(5));
  CHECK(least_inward(lines, {9, 5}) == Approx(1));
  CHECK(least_inward(lines, {12, 5}) == Approx(-2));
}

TEST_CASE("a disk tips about its rim on every side") {
  const auto lines = tipping_lines({{{3, 4}, 5}});
  CHECK(lines.size() == 360);
  CHECK(least_inward(lines, {3, 4}) == Approx(5));
  CHECK(least_inward(lines, {5, 4}) == Approx(3).epsilon(1e-4));
}

TEST_CASE("two disks in a row tip about their common tangents") {
  const auto lines = tipping_lines({{{-62, 0}, 16}, {{62, 0}, 16}});
  CHECK(least_inward(lines, {0, 0}) == Approx(16));
  CHECK(least_inward(lines, {70, 0}) == Approx(8).epsilon(1e-4));
}

TEST_CASE("points in a row have no inside") {
  const auto lines = tipping_lines({{{0, 0}, 0}, {{10, 0}, 0}, {{5, 0}, 0}});
  CHECK(least_inward(lines, {5, 0}) == Approx(0).margin(1e-12));
  CHECK(least_inward(lines, {5, 1}) == Approx(-1));
  CHECK(least_inward(lines, {12, 0}) == Approx(-2));
}

TEST_CASE("no line cuts the hull and every line touches it") {
  std::mt19937 engine{5};
  std::uniform_real_distribution<double> place(-50, 50), size(0, 20);
  for (int round = 0; round < 200; ++round) {
    std::vector<Disk> disks;
    for (int i = 0; i < 5; ++i) disks.push_back({{place(engine), place(engine)}, i % 2 ? size(engine) : 0});
    const auto lines = tipping_lines(disks);
    REQUIRE(lines.size() >= 3);
    for (const auto& line : lines) {
      double reached = -1e9;
      for (const auto& disk : disks) reached = std::max(reached, line.outward.dot(disk.centre) + disk.radius);
      REQUIRE(reached == Approx(line.offset).margin(1e-6));
    }
  }
}
