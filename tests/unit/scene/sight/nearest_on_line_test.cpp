// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/nearest_on_line.hpp"

#include <random>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

/// The nearest cover at a place by looking at all.
BodyId body_at(const std::vector<Cover>& covers, double place) {
  BodyId body;
  double most = -1e300;
  for (const Cover& c : covers) {
    if (place < c.from || place > c.to) continue;
    const double near = c.near_from + (c.near_to - c.near_from) * (place - c.from) / (c.to - c.from);
    if (near > most) most = near, body = c.body;
  }
  return body;
}

BodyId body_in(const std::vector<Top>& tops, double place) {
  for (const Top& top : tops)
    if (place >= top.from && place <= top.to) return top.body;
  return {};
}

}  // namespace

TEST_CASE("Of two covers that cross the nearer is on top on either side") {
  // nearness 1 to 3 and 3 to 1 over [0, 1]: they cross in the middle
  const auto tops = nearest_on_line({{0, 1, 1, 3, BodyId(7)}, {0, 1, 3, 1, BodyId(8)}}, 0);
  REQUIRE(tops.size() == 2);
  CHECK(tops[0].body == BodyId(8));
  CHECK(tops[0].to == Approx(0.5));
  CHECK(tops[1].body == BodyId(7));
}

TEST_CASE("A gap wider than a seam stays open, a seam is closed") {
  CHECK(nearest_on_line({{0, 1, 1, 1, BodyId(0)}, {1.001, 2, 1, 1, BodyId(0)}}, 0.01).size() == 1);
  CHECK(nearest_on_line({{0, 1, 1, 1, BodyId(0)}, {1.1, 2, 1, 1, BodyId(0)}}, 0.01).size() == 2);
  CHECK(nearest_on_line({}, 0.01).empty());
}

TEST_CASE("What is on top agrees with a look at all covers") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> unit(0, 1);
  for (int round = 0; round < 300; ++round) {
    std::vector<Cover> covers;
    const std::size_t count = 1 + random() % 60;
    const double longest = round % 3 == 0 ? 0.02 : round % 3 == 1 ? 0.3 : 1;
    for (std::size_t i = 0; i < count; ++i) {
      const double from = round % 5 == 0 ? static_cast<int>(10 * unit(random)) / 10.0 : unit(random);
      covers.push_back({from, from + longest * (0.01 + unit(random)), unit(random), unit(random), BodyId(i % 4)});
    }
    const auto tops = nearest_on_line(covers, 0);
    for (std::size_t i = 0; i + 1 < tops.size(); ++i) CHECK(tops[i].to <= tops[i + 1].from);
    int wrong = 0;
    for (int k = 0; k < 500; ++k) {
      const double place = 2 * unit(random);
      wrong += body_in(tops, place) != body_at(covers, place);
    }
    CHECK(wrong == 0);
  }
}
