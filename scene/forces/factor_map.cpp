// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/factor_map.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/basics/parallel.hpp"
#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

std::size_t cells_along(double length, double step) {
  return std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(length / step - 1e-9)));
}

/// Counterclockwise corners; one or two of them hold whatever is asked of their own cells.
bool is_within(const std::vector<Vector2d>& outline, const Vector2d& place) {
  for (std::size_t i = 0; outline.size() > 2 && i < outline.size(); ++i) {
    const Vector2d side = outline[(i + 1) % outline.size()] - outline[i], to = place - outline[i];
    if (side.x() * to.y() - side.y() * to.x() < 0) return false;
  }
  return true;
}

FactorMap cells_over(const std::vector<Vector2d>& outline, std::size_t most) {
  Vector2d low = outline.front(), high = low;
  for (const Vector2d& corner : outline) {
    low = low.cwiseMin(corner);
    high = high.cwiseMax(corner);
  }
  const Vector2d span = high - low;
  FactorMap map;
  map.step_mm = std::max(
      {std::sqrt(span.x() * span.y() / static_cast<double>(most)), span.maxCoeff() / static_cast<double>(most), 1e-3});
  while (cells_along(span.x(), map.step_mm) * cells_along(span.y(), map.step_mm) > most) map.step_mm *= 1.01;
  map.columns = cells_along(span.x(), map.step_mm);
  map.rows = cells_along(span.y(), map.step_mm);
  const Vector2d across(static_cast<double>(map.columns - 1), static_cast<double>(map.rows - 1));
  map.first = (low + high) / 2 - map.step_mm / 2 * across;
  map.factors.assign(map.columns * map.rows, std::numeric_limits<double>::quiet_NaN());
  return map;
}

}  // namespace

Vector2d FactorMap::middle_of(std::size_t cell) const {
  return first + step_mm * Vector2d(static_cast<double>(cell % columns), static_cast<double>(cell / columns));
}

FactorMap factor_map(const FixtureCase& fixture, std::size_t most_cells, int threads) {
  const std::vector<Vector2d> outline = convex_outline(fixture.cut.over);
  FactorMap map = cells_over(outline, most_cells);
  parallel_for(map.factors.size(), threads, {}, [&](std::size_t cell) {
    const Vector2d place = map.middle_of(cell);
    if (!is_within(outline, place)) return;
    FixtureCase there = fixture;
    there.cut.over = {place};
    map.factors[cell] = fixture_limit(there).factor;
  });
  return map;
}

}  // namespace cellproof
