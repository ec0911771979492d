// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/convex_pieces.hpp"

namespace cellproof {

namespace {

struct HalfPlane {
  Vector2d normal = Vector2d::Zero();  ///< outward of a counterclockwise outline
  double offset = 0;
};

HalfPlane side(const Outline& outline, std::size_t i) {
  const Vector2d &from = outline[i], way = outline[(i + 1) % outline.size()] - from;
  const Vector2d normal(way.y(), -way.x());
  return {normal, normal.dot(from)};
}

/// What of a convex outline lies outside another, in convex pieces.
void add_outside(Outline inside, const Outline& other, std::vector<Outline>& pieces) {
  for (std::size_t i = 0; i < other.size() && inside.size() >= 3; ++i) {
    const HalfPlane plane = side(other, i);
    Outline piece = side_of(inside, -plane.normal, -plane.offset);
    if (area_of(piece) > least_area_mm2) pieces.push_back(std::move(piece));
    inside = side_of(inside, plane.normal, plane.offset);
  }
}

}  // namespace

double area_of(const Outline& outline) {
  double twice = 0;
  for (std::size_t i = 1; i + 1 < outline.size(); ++i) {
    const Vector2d a = outline[i] - outline[0], b = outline[i + 1] - outline[0];
    twice += a.x() * b.y() - a.y() * b.x();
  }
  return twice / 2;
}

Outline side_of(const Outline& outline, const Vector2d& normal, double offset) {
  Outline kept;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vector2d &a = outline[i], &b = outline[(i + 1) % outline.size()];
    const double above_a = normal.dot(a) - offset, above_b = normal.dot(b) - offset;
    if (above_a <= 0) kept.push_back(a);
    if ((above_a <= 0) != (above_b <= 0)) kept.push_back(a + (b - a) * (above_a / (above_a - above_b)));
  }
  return kept;
}

Outline common_of(const Outline& a, const Outline& b) {
  Outline common = a;
  for (std::size_t i = 0; i < b.size() && common.size() >= 3; ++i) {
    const HalfPlane plane = side(b, i);
    common = side_of(common, plane.normal, plane.offset);
  }
  return common.size() < 3 ? Outline{} : common;
}

void UnitedArea::add(const Outline& convex) {
  Kept mine{convex, convex.front(), convex.front()};
  for (const Vector2d& point : convex) {
    mine.low = mine.low.cwiseMin(point);
    mine.high = mine.high.cwiseMax(point);
  }
  std::vector<Outline> pieces{convex};
  for (const Kept& known : kept_) {
    if ((known.high.array() <= mine.low.array()).any() || (known.low.array() >= mine.high.array()).any()) continue;
    if (area_of(common_of(convex, known.outline)) <= least_area_mm2) continue;
    std::vector<Outline> left;
    for (const Outline& piece : pieces) add_outside(piece, known.outline, left);
    pieces = std::move(left);
  }
  for (const Outline& piece : pieces) area_ += area_of(piece);
  kept_.push_back(std::move(mine));
}

}  // namespace cellproof
