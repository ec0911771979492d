// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/lip_bed.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Dense>

#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

using Matrix2 = Eigen::Matrix2d;

constexpr double a_line = 1e-12;  // of the greater of two chief values: lips on one line
constexpr double rounding = 1e-9;

void add(LipSums& sums, const LipSums& more) {
  sums.length += more.length;
  sums.first += more.first;
  sums.second += more.second;
}

LipSums sums_of_edge(const Vector2d& a, const Vector2d& b) {
  const double length = (b - a).norm();
  const Matrix2 ab = a * b.transpose();
  return {length, length / 2 * (a + b),
          length / 3 * (a * a.transpose() + b * b.transpose() + (ab + ab.transpose()) / 2)};
}

LipSums sums_of_arc(const Disk& circle, double from, double to) {
  const Vector2d& c = circle.centre;
  const double r = circle.radius, angle = to - from, twice = (std::sin(2 * to) - std::sin(2 * from)) / 4;
  const Vector2d way(std::sin(to) - std::sin(from), std::cos(from) - std::cos(to));
  const double mixed = (std::cos(2 * from) - std::cos(2 * to)) / 4;
  Matrix2 ways;
  ways << angle / 2 + twice, mixed, mixed, angle / 2 - twice;
  const Matrix2 to_centre = c * way.transpose();
  return {r * angle, r * (angle * c + r * way),
          r * (angle * c * c.transpose() + r * (to_centre + to_centre.transpose()) + r * r * ways)};
}

/// How many pieces a lip is cut into: what a piece's length costs falls with its square, and of many lips each counts
/// less.
double pieces_of(std::size_t lips) {
  return std::clamp(160.0 / static_cast<double>(lips), 28.0, 80.0);
}

FrictionPiece piece_of(const LipSums& sums, double friction) {
  return {friction, sums.length, sums.first, sums.second};
}

void cut_circle(const Lip& lip, double pieces, std::vector<FrictionPiece>& all) {
  const int count = static_cast<int>(std::ceil(pieces));
  for (int i = 0; i < count; ++i)
    all.push_back(piece_of(sums_of_arc(lip.circle, 2 * pi * i / count, 2 * pi * (i + 1) / count), lip.friction));
}

/// Long edges are cut, and short ones join: friction may point one way over any stretch of a lip.
void cut_outline(const Lip& lip, double pieces, std::vector<FrictionPiece>& all) {
  const double target = sums_of(lip).length / pieces;
  LipSums piece;
  const auto finish = [&] {
    if (piece.length > 0) all.push_back(piece_of(piece, lip.friction));
    piece = {};
  };
  for (std::size_t i = 0; i < lip.corners.size(); ++i) {
    const Vector2d &a = lip.corners[i], way = lip.corners[(i + 1) % lip.corners.size()] - a;
    const int count = std::max(1, static_cast<int>(std::ceil(way.norm() / target)));
    for (int k = 0; k < count; ++k) {
      add(piece, sums_of_edge(a + way * k / count, a + way * (k + 1) / count));
      if (piece.length >= 0.7 * target) finish();
    }
  }
  finish();
}

Lip moved(Lip lip, const Vector2d& by) {
  lip.circle.centre += by;
  for (Vector2d& corner : lip.corners) corner += by;
  return lip;
}

std::vector<Disk> edge_of(const std::vector<Lip>& lips) {
  std::vector<Vector2d> corners;
  std::vector<Disk> edge;
  for (const Lip& lip : lips) {
    if (lip.corners.empty()) edge.push_back(lip.circle);
    corners.insert(corners.end(), lip.corners.begin(), lip.corners.end());
  }
  if (corners.empty()) return edge;
  for (const Vector2d& corner : convex_outline(std::move(corners))) edge.push_back({corner, 0});
  return edge;
}

/// The first t > 0 at which a + t b meets r times the size of the slope c + t d; a beyond r |c|.
double first_meeting(double a, double b, const Vector2d& c, const Vector2d& d) {
  const double square = b * b - d.squaredNorm(), half = a * b - c.dot(d), constant = a * a - c.squaredNorm();
  double under_root = half * half - square * constant;
  if (under_root < 0) {
    if (under_root < -rounding * half * half) return std::numeric_limits<double>::infinity();
    under_root = 0;
  }
  const double divisor = std::sqrt(under_root) - half;
  return divisor > 0 ? constant / divisor : std::numeric_limits<double>::infinity();
}

}  // namespace

LipSums sums_of(const Lip& lip) {
  if (lip.corners.empty()) return sums_of_arc(lip.circle, 0, 2 * pi);
  LipSums sums;
  for (std::size_t i = 0; i < lip.corners.size(); ++i)
    add(sums, sums_of_edge(lip.corners[i], lip.corners[(i + 1) % lip.corners.size()]));
  return sums;
}

LipBed lip_bed(const std::vector<Lip>& lips) {
  LipBed bed;
  LipSums all;
  for (const Lip& lip : lips) add(all, sums_of(lip));
  if (!(all.length > 0)) return bed;
  bed.middle = all.first / all.length;
  std::vector<Lip> about_middle;
  for (const Lip& lip : lips) about_middle.push_back(moved(lip, -bed.middle));
  std::vector<FrictionPiece> pieces;
  for (const Lip& lip : about_middle) {
    const LipSums sums = sums_of(lip);
    bed.length += sums.length;
    bed.second += sums.second;
    lip.corners.empty() ? cut_circle(lip, pieces_of(lips.size()), pieces)
                        : cut_outline(lip, pieces_of(lips.size()), pieces);
  }
  const Vector2d chief = Eigen::SelfAdjointEigenSolver<Matrix2>(bed.second).eigenvalues();
  bed.narrow = chief.y() > 0 ? std::max(0.0, chief.x()) / chief.y() : 0;
  bed.edge = edge_of(about_middle);
  bed.friction = friction_bed(pieces);
  return bed;
}

LinearPressure pressure_of(const LipBed& bed, double force, const Vector2d& moments) {
  if (bed.narrow > a_line) return {force / bed.length, bed.second.inverse() * moments};
  const Eigen::SelfAdjointEigenSolver<Matrix2> chief(bed.second);
  const Vector2d across = chief.eigenvectors().col(0), along = chief.eigenvectors().col(1);
  const double size = std::sqrt(bed.second.trace() / bed.length);
  LinearPressure pressure{force / bed.length, along * along.dot(moments) / chief.eigenvalues().y()};
  if (std::abs(across.dot(moments)) > rounding * (std::abs(force) * size + std::abs(along.dot(moments))))
    pressure.at_origin = std::numeric_limits<double>::quiet_NaN();
  return pressure;
}

double greatest_pressed(const LipBed& bed, const LinearPressure& constant, const LinearPressure& change) {
  double least = std::numeric_limits<double>::infinity();
  for (const Disk& disk : bed.edge) {
    const double at_rest = constant.at(disk.centre), more = change.at(disk.centre);
    const Vector2d slope = disk.radius * constant.slope, steeper = disk.radius * change.slope;
    if (!(at_rest > slope.norm()) || std::isnan(more) || steeper.hasNaN()) return 0;
    least = std::min(least, first_meeting(at_rest, more, slope, steeper));
  }
  return least;
}

}  // namespace cellproof
