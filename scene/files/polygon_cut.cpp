// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/polygon_cut.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

using Point = Eigen::Vector2d;

/// Twice the area, positive if a, b, c turn to the left.
double turn(const Point& a, const Point& b, const Point& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

/// The polygon's area vector, twice (M. E. Newell). Corners are about the first one.
Vector3d area_of(const std::vector<Vector3d>& corners) {
  Vector3d sum = Vector3d::Zero();
  for (std::size_t i = 0; i < corners.size(); ++i) sum += corners[i].cross(corners[(i + 1) % corners.size()]);
  return sum;
}

double fold_of(const std::vector<Vector3d>& corners, const Vector3d& area) {
  const double length = area.norm();
  if (!(length > 0)) return 0;
  double low = 0, high = 0;
  for (const Vector3d& corner : corners) {
    const double height = area.dot(corner) / length;
    low = std::min(low, height);
    high = std::max(high, height);
  }
  return high - low;
}

/// Seen against the area vector along the axis nearest to it: coordinates stay what they are.
std::vector<Point> flattened(const std::vector<Vector3d>& corners, const Vector3d& area) {
  Eigen::Index axis = 0;
  area.cwiseAbs().maxCoeff(&axis);
  Eigen::Index first = (axis + 1) % 3, second = (axis + 2) % 3;
  if (area[axis] < 0) std::swap(first, second);
  std::vector<Point> points;
  points.reserve(corners.size());
  for (const Vector3d& corner : corners) points.emplace_back(corner[first], corner[second]);
  return points;
}

/// What is left of a polygon while ears are clipped.
class Ears {
 public:
  explicit Ears(std::vector<Point> points) : points_(std::move(points)) {
    for (std::size_t i = 0; i < points_.size(); ++i) left_.push_back(i);
  }

  /// Every corner turns left: any diagonal will do.
  bool convex() const {
    double turned = 0;
    for (std::size_t i = 0; i < left_.size(); ++i) {
      const Point &a = at(i), &b = at(i + 1), &c = at(i + 2);
      const double twice = turn(a, b, c);
      if (!(twice > flat(a, b, c))) return false;
      turned += std::atan2(twice, (b - a).dot(c - b));
    }
    return turned < 3 * pi;  // once round, not twice as a star
  }

  std::vector<std::array<std::size_t, 3>> clipped() {
    std::vector<std::array<std::size_t, 3>> ears;
    std::size_t from = 0;
    while (left_.size() > 3) {
      const std::size_t tip = next_ear(from);
      ears.push_back({number(tip + left_.size() - 1), number(tip), number(tip + 1)});
      left_.erase(left_.begin() + static_cast<std::ptrdiff_t>(tip));
      from = tip % left_.size();
    }
    ears.push_back({left_[0], left_[1], left_[2]});
    return ears;
  }

 private:
  std::size_t number(std::size_t i) const { return left_[i % left_.size()]; }
  const Point& at(std::size_t i) const { return points_[number(i)]; }

  /// What rounding may make of three corners in a line.
  static double flat(const Point& a, const Point& b, const Point& c) {
    return 1e-14 * std::max({(b - a).squaredNorm(), (c - b).squaredNorm(), (a - c).squaredNorm()});
  }

  /// A corner that turns left and whose triangle holds no other corner; if there is none, one that turns left, or any.
  std::size_t next_ear(std::size_t from) const {
    std::size_t left = left_.size(), any = from;
    for (std::size_t k = 0; k < left_.size(); ++k) {
      const std::size_t tip = (from + k) % left_.size();
      const Point &a = at(tip + left_.size() - 1), &b = at(tip), &c = at(tip + 1);
      if (!(turn(a, b, c) > flat(a, b, c))) continue;
      if (left == left_.size()) left = tip;
      if (is_empty(a, b, c)) return tip;
    }
    return left < left_.size() ? left : any;
  }

  /// No other corner lies in the triangle or on it. Corners of a bridge stand where others stand.
  bool is_empty(const Point& a, const Point& b, const Point& c) const {
    const Point low = a.cwiseMin(b).cwiseMin(c), high = a.cwiseMax(b).cwiseMax(c);
    for (const std::size_t i : left_) {
      const Point& p = points_[i];
      if ((p.array() < low.array()).any() || (p.array() > high.array()).any()) continue;
      if (p == a || p == b || p == c) continue;
      if (turn(a, b, p) >= -flat(a, b, p) && turn(b, c, p) >= -flat(b, c, p) && turn(c, a, p) >= -flat(c, a, p))
        return false;
    }
    return true;
  }

  std::vector<Point> points_;
  std::vector<std::size_t> left_;  ///< numbers of the corners that are left
};

std::vector<std::array<std::size_t, 3>> fan(std::size_t corners) {
  std::vector<std::array<std::size_t, 3>> triangles;
  for (std::size_t i = 1; i + 1 < corners; ++i) triangles.push_back({0, i, i + 1});
  return triangles;
}

}  // namespace

PolygonCut cut_polygon(const std::vector<Vector3d>& corners) {
  if (corners.size() == 3) return {{{0, 1, 2}}, 0};
  std::vector<Vector3d> about_first;
  about_first.reserve(corners.size());
  for (const Vector3d& corner : corners) about_first.emplace_back(corner - corners.front());
  const Vector3d area = area_of(about_first);
  const double fold = fold_of(about_first, area);
  if (!area.allFinite() || !(area.norm() > 0)) return {fan(corners.size()), fold};
  Ears ears(flattened(about_first, area));
  return {ears.convex() ? fan(corners.size()) : ears.clipped(), fold};
}

}  // namespace cellproof
