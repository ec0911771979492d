// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/cut_loads.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <stdexcept>

#include "scene/forces/outlines_of_few.hpp"

namespace cellproof {

namespace {

constexpr int directions = 32;
constexpr std::size_t most_corners = 16;
constexpr double parts_of_a_side = 24;

CutLoad load_of(const CutRange& cut, const Vector2d& place, double side, double towards, double axial) {
  const Vector3d force(side * std::cos(towards), side * std::sin(towards), axial);
  return {wrench_of(force, {place.x(), place.y(), cut.height}), place, towards, axial};
}

}  // namespace

LoadBody loads_at(const CutRange& cut, const Vector2d& place) {
  LoadBody body;
  const int around = cut.side > 0 ? directions : 1;
  const double side = cut.side > 0 ? cut.side / std::cos(pi / directions) : 0;
  std::vector<double> axials{cut.lift};
  if (cut.lift + cut.thrust > 0) axials.push_back(-cut.thrust);
  for (const double axial : axials)
    for (int k = 0; k < around; ++k) {
      const std::size_t here = body.corners.size(), next = k + 1 < around ? here + 1 : here + 1 - around;
      if (around > 1) body.edges.push_back({here, next});
      if (axial == cut.lift && axials.size() > 1) body.edges.push_back({here, here + around});
      body.corners.push_back(load_of(cut, place, side, 2 * pi * k / directions, axial));
    }
  return body;
}

LoadBody loads_between(const CutRange& cut, const Vector2d& from, const Vector2d& to) {
  LoadBody body{loads_at(cut, from).corners, {}};
  const std::size_t count = body.corners.size();
  std::ranges::copy(loads_at(cut, to).corners, std::back_inserter(body.corners));
  for (std::size_t i = 0; i < count; ++i) body.edges.push_back({i, i + count});
  return body;
}

std::vector<Vector2d> corner_places(const CutRange& cut) {
  if (cut.over.empty()) throw std::logic_error("a cut acts nowhere");
  return outline_around(cut.over, most_corners);
}

std::vector<Vector2d> border_places(const CutRange& cut) {
  const std::vector<Vector2d> corners = corner_places(cut);
  if (corners.size() < 2 || !(cut.lift + cut.thrust > 0)) return corners;
  double longest = 0;
  for (std::size_t i = 0; i < corners.size(); ++i)
    longest = std::max(longest, (corners[(i + 1) % corners.size()] - corners[i]).norm());
  std::vector<Vector2d> places;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vector2d side = corners[(i + 1) % corners.size()] - corners[i];
    const int parts = static_cast<int>(std::ceil(parts_of_a_side * side.norm() / longest - 1e-9));
    for (int k = 0; k < parts; ++k) places.emplace_back(corners[i] + side * k / parts);
  }
  return places;
}

}  // namespace cellproof
