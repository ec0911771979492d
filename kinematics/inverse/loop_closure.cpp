// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/loop_closure.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Eigenvalues>

#include "kinematics/entry.hpp"

namespace cellproof {
namespace {

constexpr std::array<int, 4> across{1, 5, 9, 12};        // first of the two rows that a turn about z mixes
constexpr std::array<int, 6> along{3, 4, 7, 8, 11, 14};  // rows that it leaves alone

/// The z axis through the origin, which a turn about z leaves alone.
LineVector axis() {
  LineVector line = LineVector::Zero();
  line[0] = line[7] = 1;
  return line;
}

Eigen::Matrix3d cross_matrix(const Vector3d& t) {
  Eigen::Matrix3d matrix;
  matrix << 0, -t.z(), t.y(), t.z(), 0, -t.x(), -t.y(), t.x(), 0;
  return matrix;
}

/// What Rz(angle) makes of lines, as factors of cos, sin and 1.
template <int n>
struct Split {
  Eigen::Matrix<double, 15, n> cosine, sine, constant;
};

template <int n>
Split<n> split(const Eigen::Matrix<double, 15, n>& lines) {
  Split<n> parts;
  parts.cosine.setZero();
  parts.sine.setZero();
  parts.constant = lines;
  for (const int x : across) {
    parts.cosine.template middleRows<2>(x) = lines.template middleRows<2>(x);
    parts.sine.row(x) = -lines.row(x + 1);
    parts.sine.row(x + 1) = lines.row(x);
    parts.constant.template middleRows<2>(x).setZero();
  }
  return parts;
}

template <int n>
Eigen::Matrix<double, 15, 3 * n> split_columns(const Eigen::Matrix<double, 15, n>& lines) {
  const Split<n> parts = split<n>(lines);
  Eigen::Matrix<double, 15, 3 * n> columns;
  columns << parts.cosine, parts.sine, parts.constant;
  return columns;
}

Pose about_z(double angle) {
  Pose pose = Pose::Identity();
  const double cosine = std::cos(angle), sine = std::sin(angle);
  pose.linear() << cosine, -sine, 0, sine, cosine, 0, 0, 0, 1;
  return pose;
}

/// Angles x with rows · (cos x, sin x) = values in the sense of least squares; two where the rows fix only one
/// direction.
std::array<double, 2> angles_of(const Eigen::Matrix<double, 6, 2>& rows, const Eigen::Matrix<double, 6, 1>& values) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> squares(rows.transpose() * rows);
  const Vector2d projected = squares.eigenvectors().transpose() * (rows.transpose() * values);
  const double weak = squares.eigenvalues()[0], strong = std::max(squares.eigenvalues()[1], 1e-300);
  const double first = projected[1] / strong;
  const double rest = std::sqrt(std::max(0.0, 1 - first * first));
  const Vector2d plus = squares.eigenvectors() * Vector2d(rest, first);
  const Vector2d minus = squares.eigenvectors() * Vector2d(-rest, first);
  const std::array<double, 2> both{std::atan2(plus.y(), plus.x()), std::atan2(minus.y(), minus.x())};
  constexpr double decides = 1e-10;
  if (!(weak > decides * strong)) return both;
  const double chosen = projected[0] < 0 ? both[1] : both[0];
  return {chosen, chosen};
}

}  // namespace

Loop closed_loop(const NormalChain& chain, const Pose& target) {
  Loop loop;
  for (std::size_t i = 0; i < 5; ++i) loop.links[i] = link_pose(chain.links[i]);
  loop.links[5] = target.inverse();
  return loop;
}

Loop turned(const Loop& loop, std::size_t by) {
  Loop result = loop;
  for (std::size_t i = 0; i < 6; ++i) {
    result.links[i] = loop.links[(i + by) % 6];
    result.joints[i] = loop.joints[(i + by) % 6];
  }
  return result;
}

LineMotion line_motion(const Pose& pose) {
  const Eigen::Matrix3d turn = pose.linear();
  const Vector3d t = pose.translation();
  const Eigen::RowVector3d along_t = t.transpose() * turn;
  LineMotion motion = LineMotion::Zero();
  motion(0, 0) = motion(4, 4) = motion(8, 8) = 1;
  for (const int block : {1, 5, 9, 12}) motion.block<3, 3>(block, block) = turn;
  motion.block<3, 1>(1, 0) = t;
  motion(4, 0) = t.squaredNorm();
  motion.block<1, 3>(4, 1) = 2 * along_t;
  motion.block<1, 3>(8, 5) = along_t;
  motion.block<3, 3>(9, 5) = cross_matrix(t) * turn;
  motion.block<3, 3>(12, 5) = t.squaredNorm() * turn - 2 * t * along_t;
  motion.block<3, 1>(12, 8) = -2 * t;
  motion.block<3, 3>(12, 9) = -2 * cross_matrix(t) * turn;
  return motion;
}

ClosureEquations closure_equations(const Loop& loop) {
  const auto& g = loop.links;
  // Rz3 G3 Rz4 G4 Rz5 G5 and G2⁻¹ Rz2⁻¹ G1⁻¹ Rz1⁻¹ G6⁻¹ Rz6⁻¹ carry the axis to the same place.
  const auto fifth = split_columns<1>(line_motion(g[4]) * axis());
  const auto fourth = split_columns<3>(line_motion(g[3]) * fifth);
  const auto third = split<9>(line_motion(g[2]) * fourth);
  const auto first = split_columns<1>(line_motion(g[5].inverse()) * axis());
  const auto second = split_columns<3>(line_motion(g[0].inverse()) * first);
  const Eigen::Matrix<double, 15, 9> right = line_motion(g[1].inverse()) * second;
  ClosureEquations equations;
  equations.cosine = third.cosine.bottomRows<14>();
  equations.sine = third.sine.bottomRows<14>();
  equations.constant = third.constant.bottomRows<14>();
  equations.constant.col(8) -= right.col(8).bottomRows<14>();
  equations.right = right.bottomLeftCorner<14, 8>();
  return equations;
}

std::array<LoopAngles, 2> completed(const Loop& loop, double third, double fourth, double fifth) {
  const auto& g = loop.links;
  const Pose middle = g[1] * about_z(third) * g[2] * about_z(fourth) * g[3] * about_z(fifth) * g[4];
  const LineVector reached = line_motion(g[5].inverse()) * axis();
  const Eigen::Matrix<double, 15, 3> moved = line_motion(g[0]) * split_columns<1>(line_motion(middle) * axis());
  Eigen::Matrix<double, 6, 2> rows;
  Eigen::Matrix<double, 6, 1> values;
  for (int i = 0; i < 6; ++i) {
    const int row = entry(along, i);
    rows.row(i) = moved.row(row).head<2>();
    values[i] = reached[row] - moved(row, 2);
  }
  std::array<LoopAngles, 2> result;
  const auto seconds = angles_of(rows, values);
  for (std::size_t i = 0; i < 2; ++i) {
    const LineVector line = moved * Vector3d(std::cos(seconds[i]), std::sin(seconds[i]), 1);
    double sine = 0, cosine = 0;
    for (const int x : across) {
      sine += line[x] * reached[x + 1] - line[x + 1] * reached[x];
      cosine += line[x] * reached[x] + line[x + 1] * reached[x + 1];
    }
    const double first = std::atan2(sine, cosine);
    const Pose last = (g[5] * about_z(first) * g[0] * about_z(seconds[i]) * middle).inverse();
    const double sixth = std::atan2(last(1, 0) - last(0, 1), last(0, 0) + last(1, 1));
    result[i] = {first, seconds[i], third, fourth, fifth, sixth};
  }
  return result;
}

}  // namespace cellproof
