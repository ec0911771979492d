// SPDX-License-Identifier: GPL-3.0-or-later
// How long laying a part down takes at the worst instant: by hand (derived), and against every instant in small steps.
#include "scene/cycle/lay_down.hpp"

#include <algorithm>
#include <random>
#include <vector>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

CarryPiece move(double s, std::optional<double> turning = std::nullopt) {
  return {s, true, false, turning};
}
CarryPiece rest(double s) {
  return {s, false, false, std::nullopt};
}
CarryPiece door(double s) {
  return {s, false, true, std::nullopt};
}

double longest(const std::vector<CarryPiece>& pieces, bool let_go = true) {
  const auto found = longest_to_lay_down(pieces, let_go);
  REQUIRE(found);
  return found->seconds;
}

}  // namespace

TEST_CASE("a part that is lifted, carried and laid down") {
  // Without a known stop the arm turns round only where it stands: just off the seat it goes up 0.5 and back 0.5, of
  // the long move it runs on 2 and goes in 0.5.
  CHECK(longest({move(0.5), move(2), move(0.5)}) == Approx(2.5));
  CHECK(longest({move(0.5)}) == Approx(0.5));
  CHECK(longest({move(0.5), rest(1), move(4), move(0.5)}) == Approx(4.5));
}

TEST_CASE("with a known stop it turns round on the way") {
  // Up 0.5, then u back and on alike: 0.5 + u + 0.1 = 2.5 − u, so that u = 0.95 and it takes 1.55.
  const auto found = longest_to_lay_down(std::vector{move(0.5, 0.1), move(2, 0.1), move(0.5, 0.1)}, true);
  REQUIRE(found);
  CHECK(found->seconds == Approx(1.55));
  CHECK(found->piece == 1);
  CHECK(found->into_piece == Approx(0.95));
}

TEST_CASE("a wait costs nothing on the way back, and all on the way on") {
  CHECK(longest({move(1), rest(10), move(1)}) == Approx(2));
  // Just off the seat: 3 on to where it waits, and 3 back.
  CHECK(longest({move(3), rest(1), move(3)}) == Approx(6));
}

TEST_CASE("what changes on the way bars the way back") {
  CHECK(longest({move(1), door(5), move(1)}) == Approx(6));
  CHECK(longest({move(1, 0.0), door(5), move(3, 0.0)}) == Approx(8));
}

TEST_CASE("a part that is never let go must go back, if the way is open") {
  // At the start of the second move: on to its end, 2, and back 2 and 1.
  CHECK(longest({move(1), move(2)}, false) == Approx(5));
  CHECK_FALSE(longest_to_lay_down(std::vector{move(1), door(0), move(1)}, false));
  CHECK(longest_to_lay_down(std::vector<CarryPiece>{}, true)->seconds == 0);
}

TEST_CASE("no instant takes longer than what is told, and one takes as long") {
  for (unsigned seed = 0; seed < 300; ++seed) {
    std::mt19937 engine(seed);
    const auto between = [&](double low, double high) {
      return std::uniform_real_distribution<double>(low, high)(engine);
    };
    std::vector<CarryPiece> pieces;
    const int count = std::uniform_int_distribution<int>(1, 6)(engine);
    for (int i = 0; i < count; ++i) {
      const double kind = between(0, 10);
      pieces.push_back(kind < 1   ? door(between(0, 3))
                       : kind < 3 ? rest(between(0, 3))
                       : kind < 6 ? move(between(0, 3))
                                  : move(between(0.1, 3), between(0, 1)));
    }
    // Every way is gone in small steps of each piece, its seconds counted one by one.
    double worst = 0;
    for (std::size_t at = 0; at < pieces.size(); ++at)
      for (int k = 0; k <= 2000; ++k) {
        const double into = pieces[at].duration * k / 2000;
        double on = pieces[at].duration - into, back = 0;
        for (std::size_t i = at + 1; i < pieces.size(); ++i) on += pieces[i].duration;
        bool open = !pieces[at].bars_way_back;
        for (std::size_t i = 0; i < at; ++i) {
          open = open && !pieces[i].bars_way_back;
          if (pieces[i].moves) back += pieces[i].duration;
        }
        double shortest = on;
        if (open && !pieces[at].moves) shortest = std::min(shortest, back);
        if (open && pieces[at].moves) {
          shortest = std::min(shortest, back + pieces[at].duration + pieces[at].duration - into);
          if (pieces[at].turning) shortest = std::min(shortest, back + into + *pieces[at].turning);
        }
        worst = std::max(worst, shortest);
      }
    CAPTURE(seed);
    const double told = longest(pieces);
    CHECK(told >= worst - 1e-9);
    CHECK(told <= worst + 3.0 / 2000);
  }
}
