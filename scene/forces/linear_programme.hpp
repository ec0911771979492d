// SPDX-License-Identifier: GPL-3.0-or-later
// A linear programme of few equations: max c · x over A x = b, x >= 0.
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Dense>

namespace cellproof {

/// By the revised simplex method, in two phases and in long double; R. G. Bland's rule (Math. of Operations Research
/// 2(2):103-107, 1977) keeps it from going round in circles. The first phase is done once for all objectives.
class LinearProgramme {
 public:
  using Matrix = Eigen::Matrix<long double, Eigen::Dynamic, Eigen::Dynamic>;
  using Vector = Eigen::Matrix<long double, Eigen::Dynamic, 1>;

  /// Rows of independent equations with b >= 0, a few; columns as many as there are.
  LinearProgramme(Matrix equations, Vector values);

  bool feasible() const { return feasible_; }

  struct Answer {
    Vector x;                   ///< the best, or where it begins to be without bound
    std::optional<Vector> ray;  ///< a way along which the objective grows without bound
  };
  /// Asked only of a feasible programme.
  Answer greatest(const Vector& objective);

 private:
  /// Improves the basis until none is better; the column along which there is no bound, or -1.
  Eigen::Index improve(const Vector& objective);
  Eigen::Index leaving() const;

  Matrix equations_;  ///< with one artificial column a row behind the others
  Vector values_;
  std::vector<Eigen::Index> basis_;
  Eigen::Index count_ = 0;
  bool feasible_ = false;
  Vector basic_, direction_;  ///< values of the basis; what one unit of the last column takes from them
};

}  // namespace cellproof
