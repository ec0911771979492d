// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/rate_limits.hpp"

#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

/// The best corner: every pair of edges crossed, every limit asked.
double by_corners(std::vector<RateLimit> limits, double most_to) {
  struct Edge {
    double from, to, at;
  };
  std::vector<Edge> edges{{1, 0, 0}, {1, 0, 1}, {0, 1, 0}, {0, 1, most_to}};
  for (const RateLimit& limit : limits) edges.push_back({limit.from, limit.to, 1});
  double best = 0;
  for (const Edge& a : edges) {
    for (const Edge& b : edges) {
      const double cross = a.from * b.to - a.to * b.from;
      if (std::abs(cross) < 1e-12) continue;
      const double p = (a.at * b.to - a.to * b.at) / cross, q = (a.from * b.at - a.at * b.from) / cross;
      if (p < -1e-9 || p > 1 + 1e-9 || q < -1e-9 || q > most_to + 1e-9) continue;
      const bool kept = std::all_of(limits.begin(), limits.end(),
                                    [&](const RateLimit& limit) { return limit.from * p + limit.to * q <= 1 + 1e-9; });
      if (kept) best = std::max(best, p);
    }
  }
  return best;
}

}  // namespace

TEST_CASE("without limits the greatest rate is the tool's") {
  CHECK(greatest_from({}, 0.5) == 1);
  CHECK(greatest_to({}, 0.3, 0.5) == 0.5);
}

TEST_CASE("braking to rest allows what the acceleration limit gives") {
  // 4 (p − q) <= 1 and q = 0: p = 1/4.
  CHECK(greatest_from({{4, -4}, {-4, 4}}, 0) == Approx(0.25));
  CHECK(greatest_to({{4, -4}, {-4, 4}}, 0, 1) == Approx(0.25));
}

TEST_CASE("the greatest rate is the best corner of all limits") {
  Random random(51);
  for (int i = 0; i < 3000; ++i) {
    std::vector<RateLimit> limits;
    const int count = 1 + i % 12;
    for (int k = 0; k < count; ++k) {
      const double size = std::pow(10, random.between(-1, 3));
      limits.push_back({size * random.between(-1, 1), size * random.between(-1, 1)});
      if (random.one_in(3)) limits.back().to = -limits.back().from * (1 + 1e-3 * random.between(-1, 1));
      if (random.one_in(5)) limits.push_back(limits.back());
    }
    const double most_to = random.one_in(5) ? 0 : random.between(0, 1);
    CAPTURE(i, count, most_to);
    CHECK(greatest_from(limits, most_to) == Approx(by_corners(limits, most_to)).margin(1e-8));
  }
}
