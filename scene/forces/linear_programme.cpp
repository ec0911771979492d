// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/linear_programme.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/entry.hpp"

namespace cellproof {

namespace {

constexpr long double rounding = 1e-12L;

}  // namespace

LinearProgramme::LinearProgramme(Matrix equations, Vector values)
    : values_(std::move(values)), count_(equations.cols()) {
  const Eigen::Index rows = equations.rows();
  equations_.resize(rows, count_ + rows);
  equations_ << equations, Matrix::Identity(rows, rows);
  Vector artificial = Vector::Zero(count_ + rows);
  for (Eigen::Index row = 0; row < rows; ++row) {
    basis_.push_back(count_ + row);
    artificial[count_ + row] = -1;
  }
  improve(artificial);
  long double left = 0;
  for (Eigen::Index row = 0; row < rows; ++row)
    if (entry(basis_, row) >= count_) left += std::abs(basic_[row]);
  feasible_ = left <= 1e-9L;
}

LinearProgramme::Answer LinearProgramme::greatest(const Vector& objective) {
  Vector with_artificial = Vector::Zero(equations_.cols());
  with_artificial.head(count_) = objective;
  const Eigen::Index unbounded = improve(with_artificial);
  Answer answer{Vector::Zero(count_), std::nullopt};
  const auto put = [&](const Vector& of_basis, Vector& all) {
    for (std::size_t row = 0; row < basis_.size(); ++row)
      if (basis_[row] < count_) all[basis_[row]] = of_basis[static_cast<Eigen::Index>(row)];
  };
  put(basic_, answer.x);
  if (unbounded < 0) return answer;
  answer.ray = Vector::Zero(count_);
  put(-direction_, *answer.ray);
  (*answer.ray)[unbounded] = 1;
  return answer;
}

Eigen::Index LinearProgramme::improve(const Vector& objective) {
  const Eigen::Index rows = equations_.rows();
  constexpr int most = 20000;
  for (int turn = 0; turn < most; ++turn) {
    Matrix chosen(rows, rows);
    Vector worth(rows);
    for (Eigen::Index row = 0; row < rows; ++row) {
      chosen.col(row) = equations_.col(entry(basis_, row));
      worth[row] = objective[entry(basis_, row)];
    }
    const Eigen::PartialPivLU<Matrix> solved(chosen);
    basic_ = solved.solve(values_);
    const Vector price = solved.transpose().solve(worth);
    Eigen::Index enters = -1;
    for (Eigen::Index column = 0; column < count_ && enters < 0; ++column)
      if (objective[column] - price.dot(equations_.col(column)) > rounding * 1e3L) enters = column;
    if (enters < 0) return -1;
    direction_ = solved.solve(equations_.col(enters));
    const Eigen::Index leaves = leaving();
    if (leaves < 0) return enters;
    entry(basis_, leaves) = enters;
  }
  return -1;
}

/// Of the rows that come to 0 first the one with the least column; -1 if none ever does.
Eigen::Index LinearProgramme::leaving() const {
  Eigen::Index leaves = -1;
  long double least = 0;
  for (Eigen::Index row = 0; row < equations_.rows(); ++row) {
    const Eigen::Index column = entry(basis_, row);
    // An artificial column that the first phase left behind, at 0, goes before it would move either way.
    const bool left_behind = feasible_ && column >= count_ && std::abs(direction_[row]) > rounding;
    if (!left_behind && !(direction_[row] > rounding)) continue;
    const long double share = left_behind ? 0 : std::max(0.0L, basic_[row]) / direction_[row];
    if (leaves < 0 || share < least || (share == least && column < entry(basis_, leaves))) {
      leaves = row;
      least = share;
    }
  }
  return leaves;
}

}  // namespace cellproof
