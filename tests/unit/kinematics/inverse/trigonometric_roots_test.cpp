// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/trigonometric_roots.hpp"

#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

double apart(double a, double b) {
  return std::abs(std::remainder(a - b, 2 * pi));
}

bool has(const AngleRoots& roots, double angle, double within) {
  return std::any_of(roots.begin(), roots.end(), [&](double root) { return apart(root, angle) < within; });
}

/// The product of two first-degree factors, 1 − cos(x − a) each shifted: sin((x−a)/2) sin((x−b)/2) sin((x−c)/2)
/// sin((x−d)/2) is a polynomial of degree two with just these four roots.
TrigonometricPolynomial with_roots(double a, double b, double c, double d) {
  // sin((x−a)/2) sin((x−b)/2) = (cos((a−b)/2) − cos(x − (a+b)/2)) / 2
  const auto pair = [](double p, double q) {
    const double middle = (p + q) / 2;
    return std::array<double, 3>{std::cos((p - q) / 2) / 2, -std::cos(middle) / 2, -std::sin(middle) / 2};
  };
  const auto u = pair(a, b), v = pair(c, d);
  // Product of forms by the square identity uv = ((u+v)² − (u−v)²)/4.
  return 0.25 *
         (squared(u[0] + v[0], u[1] + v[1], u[2] + v[2]) + -1.0 * squared(u[0] - v[0], u[1] - v[1], u[2] - v[2]));
}

}  // namespace

TEST_CASE("four roots of degree two are found wherever they are") {
  Random random(5);
  for (int i = 0; i < 2000; ++i) {
    const std::array<double, 4> known{random.angle(), random.angle(), random.angle(), random.angle()};
    double nearest = pi;
    for (std::size_t a = 0; a < 4; ++a) {
      for (std::size_t b = 0; b < a; ++b) nearest = std::min(nearest, apart(known[a], known[b]));
    }
    const AngleRoots roots = roots_of(with_roots(known[0], known[1], known[2], known[3]));
    // Roots that lie close together are known only to the root of rounding.
    for (const double root : known) CHECK(has(roots, root, nearest > 0.01 ? 1e-9 : 1e-4));
  }
}

TEST_CASE("a root at a half turn is like any other") {
  const AngleRoots roots = roots_of(with_roots(pi, 0, 1, -2));
  REQUIRE(roots.count == 4);
  for (const double root : {pi, 0.0, 1.0, -2.0}) CHECK(has(roots, root, 1e-12));
}

TEST_CASE("double roots are kept though nothing changes sign there") {
  const AngleRoots roots = roots_of(with_roots(1, 1, -2, -2));
  CHECK(has(roots, 1, 1e-7));
  CHECK(has(roots, -2, 1e-7));
}

TEST_CASE("a polynomial without roots has none and the zero polynomial has all") {
  CHECK(roots_of(TrigonometricPolynomial{3, 1, 0, 0, 1}).count == 0);
  CHECK(roots_of(TrigonometricPolynomial{}).everywhere);
  CHECK(roots_of(0, 0, 0).everywhere);
  CHECK_FALSE(roots_of(1, 0, 0).everywhere);
  CHECK(roots_of(1, 0, 0).count == 0);
}

TEST_CASE("degree one has two roots, one where it touches, none beyond") {
  const AngleRoots two = roots_of(-0.5, 1, 0);  // cos x = 0.5
  REQUIRE(two.count == 2);
  CHECK(has(two, pi / 3, 1e-15));
  CHECK(has(two, -pi / 3, 1e-15));
  CHECK(roots_of(-1, 1, 0).count == 1);
  CHECK(roots_of(-1.01, 1, 0).count == 0);
}
