// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/balance.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/entry.hpp"
#include "scene/forces/linear_programme.hpp"
#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

constexpr double left_over = 0.002;  // of the weight
constexpr double rounding = 1e-6;    // of the weight; about z with lengths in mm
constexpr double without_bound_mm = 1e4;

/// The programme for a weight of 1 at the origin: forces along the columns' ways, and where they put the centre.
struct Statics {
  LinearProgramme::Matrix equations;
  LinearProgramme::Vector values;
  LinearProgramme::Matrix centre;  ///< two rows: x and y of the centre that the columns balance
};

std::vector<Vector3d> ways_of(const Vector3d& normal, double friction) {
  if (friction <= 0) return {normal};
  constexpr int edges = 8;
  const Eigen::Matrix3d axes = axes_along(normal);
  std::vector<Vector3d> ways;
  for (int k = 0; k < edges; ++k) {
    const double angle = 2 * pi * k / edges;
    ways.emplace_back(axes.transpose() * Vector3d(friction * std::cos(angle), friction * std::sin(angle), 1));
  }
  return ways;
}

/// Rows: force x, y, z, moment about z; x, y and the moment are each let off by a little: force - t = -least with t in
/// [0, 2 least], and a row that says so.
Statics statics(std::span<const PressingPoint> points, const Vector3d& centre, double friction) {
  std::vector<std::pair<Vector3d, Vector3d>> columns;  // force, moment about the centre
  for (const PressingPoint& point : points)
    for (const Vector3d& way : ways_of(point.normal, friction))
      columns.push_back({way, (point.at - centre).cross(way)});
  const auto count = static_cast<Eigen::Index>(columns.size());
  Statics all{LinearProgramme::Matrix::Zero(7, count + 6), LinearProgramme::Vector::Zero(7),
              LinearProgramme::Matrix::Zero(2, count + 6)};
  for (Eigen::Index i = 0; i < count; ++i) {
    const auto& [force, moment] = entry(columns, i);
    const std::array<double, 3> let_off{force.x(), force.y(), moment.z()};
    for (Eigen::Index row = 0; row < 3; ++row) all.equations(row, i) = -entry(let_off, row);
    all.equations(3, i) = force.z();
    // The weight at (x, y) turns by (-y, x): what the forces turn by is its opposite.
    all.centre(0, i) = -moment.y();
    all.centre(1, i) = moment.x();
  }
  all.values[3] = 1;
  for (Eigen::Index row = 0; row < 3; ++row) {
    const long double let_off = row < 2 && friction == 0 ? left_over : rounding;
    all.equations(row, count + row) = 1;
    all.values[row] = let_off;
    all.equations(4 + row, count + row) = all.equations(4 + row, count + 3 + row) = 1;
    all.values[4 + row] = 2 * let_off;
  }
  return all;
}

/// The centres that can be balanced, from within.
class Region {
 public:
  explicit Region(const Statics& statics) : statics_(statics), programme_(statics.equations, statics.values) {}
  bool possible() const { return programme_.feasible(); }

  std::vector<Vector2d> outline() {
    for (const Vector2d& way : {Vector2d(1, 0), Vector2d(0, 1), Vector2d(-1, 0), Vector2d(0, -1)}) look(way);
    constexpr int most = 200;
    for (int turn = 0; turn < most; ++turn) {
      const auto hull = convex_outline(found_);
      if (hull.size() < 2) return hull;
      const std::size_t before = found_.size();
      for (std::size_t i = 0; i < hull.size(); ++i) {
        const Vector2d &a = hull[i], way = (hull[(i + 1) % hull.size()] - a).normalized();
        const Vector2d outward(way.y(), -way.x());
        const auto known =
            std::ranges::find_if(asked_, [&](const Vector2d& other) { return (other - outward).norm() < 1e-9; });
        if (known == asked_.end()) look(outward);
      }
      if (found_.size() == before) return hull;
    }
    return convex_outline(found_);
  }

 private:
  void look(const Vector2d& way) {
    asked_.push_back(way);
    const LinearProgramme::Vector objective = statics_.centre.transpose() * way.cast<long double>();
    const auto answer = programme_.greatest(objective);
    const Vector2d furthest = (statics_.centre * answer.x).cast<double>();
    add(furthest);
    if (!answer.ray) return;
    const Vector2d ray = (statics_.centre * *answer.ray).cast<double>();
    if (ray.norm() > 0) add(furthest + without_bound_mm * ray.normalized());
  }
  void add(const Vector2d& point) {
    constexpr double same_mm = 1e-6;
    if (std::ranges::none_of(found_, [&](const Vector2d& other) { return (other - point).norm() < same_mm; }))
      found_.push_back(point);
  }

  const Statics& statics_;
  LinearProgramme programme_;
  std::vector<Vector2d> found_, asked_;
};

/// The origin against a convex outline, counterclockwise; a point or a line has no inside.
void place_origin(const std::vector<Vector2d>& outline, Balance& result) {
  double nearest = std::numeric_limits<double>::infinity();
  bool within = outline.size() >= 3;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vector2d &a = outline[i], side = outline[(i + 1) % outline.size()] - a;
    const double length = side.squaredNorm();
    const Vector2d foot = a + (length > 0 ? std::clamp(-a.dot(side) / length, 0.0, 1.0) : 0) * side;
    const Vector2d outward = Vector2d(side.y(), -side.x()).normalized();
    if (outward.dot(a) < 0) within = false;
    if (foot.norm() >= nearest) continue;
    nearest = foot.norm();
    result.edge_way = nearest > 0 && outward.dot(a) < 0 ? Vector2d(-foot / nearest) : outward;
  }
  result.inside_mm = within ? nearest : -nearest;
}

}  // namespace

Balance balance(std::span<const PressingPoint> points, const Vector3d& centre, double friction) {
  Balance result;
  if (points.empty()) return result;
  const Statics all = statics(points, centre, friction);
  Region region(all);
  result.possible = region.possible();
  if (result.possible) place_origin(region.outline(), result);
  return result;
}

}  // namespace cellproof
