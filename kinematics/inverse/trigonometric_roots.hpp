// SPDX-License-Identifier: GPL-3.0-or-later
// Every real root of a trigonometric polynomial of degree one or two, double roots once.
#pragma once

#include <array>

namespace cellproof {

/// constant + cosine cos x + sine sin x + cosine2 cos 2x + sine2 sin 2x
struct TrigonometricPolynomial {
  double constant = 0, cosine = 0, sine = 0, cosine2 = 0, sine2 = 0;

  double at(double angle) const;
  double greatest_coefficient() const;
};

/// (constant + cosine cos x + sine sin x)²
TrigonometricPolynomial squared(double constant, double cosine, double sine);

TrigonometricPolynomial operator+(const TrigonometricPolynomial& a, const TrigonometricPolynomial& b);
TrigonometricPolynomial operator*(double factor, const TrigonometricPolynomial& polynomial);

struct AngleRoots {
  std::array<double, 8> angles{};
  std::size_t count = 0;
  bool everywhere = false;  ///< all coefficients vanish: any angle is a root

  void add(double angle) { angles[count++] = angle; }
  const double* begin() const { return angles.data(); }
  const double* end() const { return angles.data() + count; }
};

/// Roots of constant + cosine cos x + sine sin x. Coefficients below `nothing` count as zero; a polynomial that misses
/// zero by less than `touching` of its amplitude touches it.
AngleRoots roots_of(double constant, double cosine, double sine, double nothing = 1e-10, double touching = 1e-9);

/// Roots of degree two. The circle is opened where |f| is largest, so that no root is near infinity in the half-angle
/// variable; the roots of the quartic are bracketed by those of its derivatives. A summit that misses zero by less than
/// `touching` of the greatest coefficient counts as a (double) root.
AngleRoots roots_of(const TrigonometricPolynomial& polynomial, double touching = 1e-11);

}  // namespace cellproof
