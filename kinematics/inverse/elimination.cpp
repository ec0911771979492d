// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/elimination.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <Eigen/QR>
#include <Eigen/SVD>

namespace cellproof {
namespace {

using Matrix = Eliminated::Matrix;
using Kernel = Eigen::Matrix<double, 12, 1>;
using Rows = Eigen::Matrix<double, 6, 9>;

/// a cos + b sin + c, times 1 + x², is (c − a) x² + 2 b x + (c + a).
Rows in_half_tangents(const Rows& products) {
  Rows fourth, result;
  fourth << products.rightCols<3>() - products.leftCols<3>(), 2 * products.middleCols<3>(3),
      products.rightCols<3>() + products.leftCols<3>();
  for (int slow = 0; slow < 9; slow += 3) {
    result.col(slow) = fourth.col(slow + 2) - fourth.col(slow);
    result.col(slow + 1) = 2 * fourth.col(slow + 1);
    result.col(slow + 2) = fourth.col(slow + 2) + fourth.col(slow);
  }
  return result;
}

/// The six equations, and the same times tan(θ4 / 2).
Matrix dialytic(const Rows& products) {
  const Rows rows = in_half_tangents(products);
  Matrix matrix = Matrix::Zero();
  matrix.topRightCorner<6, 9>() = rows;
  matrix.bottomLeftCorner<6, 9>() = rows;
  return matrix;
}

/// The angle whose half tangent takes `low` to `high`, in the sense of least squares.
template <typename Powers>
double angle_from(const Powers& high, const Powers& low) {
  return std::atan2(2 * high.cwiseProduct(low).sum(), low.squaredNorm() - high.squaredNorm());
}

double fourth_of(const Kernel& kernel) {
  return angle_from(Eigen::Matrix<double, 9, 1>(kernel.head<9>()), Eigen::Matrix<double, 9, 1>(kernel.tail<9>()));
}

double fifth_of(const Kernel& kernel) {
  const Eigen::Map<const Eigen::Matrix<double, 3, 4>> powers(kernel.data());
  return angle_from(Eigen::Matrix<double, 2, 4>(powers.topRows<2>()),
                    Eigen::Matrix<double, 2, 4>(powers.bottomRows<2>()));
}

/// A kernel vector by inverse iteration.
Kernel kernel_of(const Matrix& singular) {
  const Eigen::PartialPivLU<Matrix> factors(singular);
  Kernel vector = Kernel::NullaryExpr([](Eigen::Index i) { return 1 + 0.1 * static_cast<double>((7 * i) % 12); });
  for (int round = 0; round < 2; ++round) {
    Matrix upper = factors.matrixLU();
    for (int i = 0; i < 12; ++i) {
      if (std::abs(upper(i, i)) < 1e-30) upper(i, i) = 1e-30;
    }
    vector = factors.permutationP() * vector;
    upper.triangularView<Eigen::UnitLower>().solveInPlace(vector);
    vector.normalize();
    upper.triangularView<Eigen::Upper>().solveInPlace(vector);
    vector /= vector.cwiseAbs().maxCoeff();
    vector.normalize();
    if (round == 0) {
      // (A Aᵀ)⁻¹ rather than A⁻¹ twice: the matrix is not normal.
      upper.triangularView<Eigen::Upper>().transpose().solveInPlace(vector);
      vector.normalize();
      upper.triangularView<Eigen::UnitLower>().transpose().solveInPlace(vector);
      vector = factors.permutationP().transpose() * vector;
      vector.normalize();
    }
  }
  return vector;
}

/// Kernel vectors that are powers of one half tangent: of a space of several, the eigenvectors of its shift.
void read_kernel(const Eigen::Matrix<double, 12, Eigen::Dynamic>& space, const Eigen::MatrixXd& high,
                 const Eigen::MatrixXd& low, double third, std::vector<ThreeAngles>& all) {
  constexpr double turn_c = 0.8191520442889918, turn_s = 0.573576436351046;  // some angle, so that none is at infinity
  const Eigen::MatrixXd a = turn_c * low + turn_s * high, b = turn_c * high - turn_s * low;
  const Eigen::MatrixXd shift = a.completeOrthogonalDecomposition().solve(b);
  const Eigen::EigenSolver<Eigen::MatrixXd> eigen(shift);
  for (Eigen::Index i = 0; i < space.cols(); ++i) {
    const Kernel vector = space * eigen.eigenvectors().col(i).real();
    if (!(vector.norm() > 1e-9)) continue;
    all.push_back({third, fourth_of(vector), fifth_of(vector)});
  }
}

/// Several roots at (almost) one angle: the kernel has several dimensions, or none of them exactly.
void read_cluster(const Matrix& singular, double third, Eigen::Index roots, std::vector<ThreeAngles>& all) {
  const Eigen::JacobiSVD<Matrix> svd(singular, Eigen::ComputeFullV);
  for (Eigen::Index n = 1; n <= std::min<Eigen::Index>(roots, 4); ++n) {
    const Eigen::Matrix<double, 12, Eigen::Dynamic> space = svd.matrixV().rightCols(n);
    read_kernel(space, space.topRows(9), space.bottomRows(9), third, all);
    if (n == 1) continue;
    Eigen::MatrixXd high(8, n), low(8, n);
    for (int slow = 0; slow < 4; ++slow) {
      high.middleRows<2>(2 * slow) = space.middleRows<2>(3 * slow);
      low.middleRows<2>(2 * slow) = space.middleRows<2>(3 * slow + 1);
    }
    read_kernel(space, high, low, third, all);
  }
}

double turns_apart(double a, double b) {
  return std::abs(std::remainder(a - b, 2 * pi));
}

/// Half tangents (θ3 − origin) / 2 where the matrix is singular, as complex angles near the real axis.
std::vector<std::complex<double>> roots_of(const Eliminated& matrix, double origin) {
  const double cosine = std::cos(origin), sine = std::sin(origin);
  const Matrix turned_cosine = cosine * matrix.cosine + sine * matrix.sine;
  const Matrix turned_sine = cosine * matrix.sine - sine * matrix.cosine;
  const Eigen::PartialPivLU<Matrix> leading(matrix.constant - turned_cosine);
  Eigen::Matrix<double, 24, 24> companion = Eigen::Matrix<double, 24, 24>::Zero();
  companion.topRightCorner<12, 12>().setIdentity();
  companion.bottomLeftCorner<12, 12>() = -leading.solve(matrix.constant + turned_cosine);
  companion.bottomRightCorner<12, 12>() = -leading.solve(2 * turned_sine);
  const Eigen::EigenSolver<Eigen::Matrix<double, 24, 24>> eigen(companion, false);
  std::vector<std::complex<double>> roots;
  for (const std::complex<double>& x : eigen.eigenvalues()) {
    constexpr double nearly_real = 0.02;
    if (std::norm(x * x + 1.0) < 1e-8) continue;  // factors 1 + x² that the half tangents bring in
    const std::complex<double> angle = 2.0 * std::atan(x);
    if (std::abs(angle.imag()) < nearly_real) roots.emplace_back(origin + angle.real(), angle.imag());
  }
  return roots;
}

}  // namespace

Matrix Eliminated::at(double third) const {
  return std::cos(third) * cosine + std::sin(third) * sine + constant;
}

Eliminated eliminate(const ClosureEquations& equations) {
  Eigen::Matrix<double, 14, 27> left;
  left << equations.cosine, equations.sine, equations.constant;
  const Eigen::ColPivHouseholderQR<Eigen::Matrix<double, 14, 8>> factors(equations.right);
  left.applyOnTheLeft(factors.householderQ().adjoint());
  const Eigen::Matrix<double, 6, 27> rest = left.bottomRows<6>();
  return {dialytic(rest.leftCols<9>()), dialytic(rest.middleCols<9>(9)), dialytic(rest.rightCols<9>())};
}

Opening best_opening(const Eliminated& matrix) {
  constexpr double some_angle = 0.35, good_enough = 1e-4;
  Opening best;
  for (int i = 0; i < 8; ++i) {
    const double opening = some_angle + i * (3 * pi / 4);
    const Eigen::PartialPivLU<Matrix> factors(matrix.at(opening));
    const double regularity = factors.rcond();
    if (!(regularity > best.regularity)) continue;
    best = {opening - pi, regularity};
    if (regularity > good_enough) break;
  }
  return best;
}

std::vector<ThreeAngles> singular_angles(const Eliminated& matrix, const Opening& opening) {
  const auto roots = roots_of(matrix, opening.origin);
  std::vector<ThreeAngles> all;
  for (const std::complex<double>& root : roots) {
    constexpr double together = 1e-3, real = 1e-9;
    const auto near = std::count_if(roots.begin(), roots.end(), [&](const std::complex<double>& other) {
      return turns_apart(root.real(), other.real()) < together + std::abs(root.imag());
    });
    const double third = root.real() + root.imag();  // a pair that rounding made complex is one on either side
    const Matrix singular = matrix.at(third);
    if (near > 1 || std::abs(root.imag()) > real) {
      read_cluster(singular, third, near, all);
    } else {
      const Kernel kernel = kernel_of(singular);
      all.push_back({third, fourth_of(kernel), fifth_of(kernel)});
    }
  }
  return all;
}

}  // namespace cellproof
