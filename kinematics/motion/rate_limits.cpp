// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/rate_limits.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {
namespace {

/// Where a limit leaves an unknown t free: at_rest + by·t <= 1.
struct Narrowed {
  double low = 0, high = 1;
  void narrow(double at_rest, double by) {
    if (by > 0) high = std::min(high, (1 - at_rest) / by);
    if (by < 0) low = std::max(low, (1 - at_rest) / by);
  }
};

struct Best {
  double from, to;
};

/// The best point on the line where limits[last] binds, by the limits before it.
Best best_on(const std::vector<RateLimit>& limits, std::size_t last, double most_to) {
  constexpr double parallel = 1e-13;
  const RateLimit& line = limits[last];
  Narrowed free;
  if (std::abs(line.to) * most_to < std::abs(line.from)) {  // p by q
    free.high = most_to;
    const double at_rest = 1 / line.from, slope = -line.to / line.from;
    for (std::size_t i = 0; i < last; ++i) {
      const double by_from = limits[i].from * slope, by = limits[i].to + by_from;
      if (std::abs(by) > parallel * std::abs(by_from)) free.narrow(limits[i].from * at_rest, by);
    }
    const double to = slope > 0 ? free.high : free.low;
    return {at_rest + slope * to, to};
  }
  const double at_rest = 1 / line.to, slope = -line.from / line.to;  // q by p
  for (std::size_t i = 0; i < last; ++i) {
    const double by_to = limits[i].to * slope, by = limits[i].from + by_to;
    if (std::abs(by) > parallel * std::abs(by_to)) free.narrow(limits[i].to * at_rest, by);
  }
  free.narrow(at_rest / most_to, slope / most_to);       // q <= most_to
  free.narrow(1 - at_rest / most_to, -slope / most_to);  // q >= 0
  return {free.high, at_rest + slope * free.high};
}

}  // namespace

double greatest_from(const std::vector<RateLimit>& limits, double most_to) {
  Best best{1, most_to};
  for (std::size_t i = 0; i < limits.size(); ++i) {
    constexpr double rounding = 1e-12;
    if (limits[i].from * best.from + limits[i].to * best.to <= 1 + rounding) continue;
    best = best_on(limits, i, most_to);
  }
  return std::clamp(best.from, 0.0, 1.0);
}

double greatest_to(const std::vector<RateLimit>& limits, double from, double most_to) {
  double to = most_to;
  for (const RateLimit& limit : limits)
    if (limit.to > 0) to = std::min(to, (1 - limit.from * from) / limit.to);
  return std::max(to, 0.0);
}

}  // namespace cellproof
