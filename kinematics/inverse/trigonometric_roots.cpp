// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/trigonometric_roots.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/types.hpp"

namespace cellproof {
namespace {

/// Coefficients by rising power.
template <std::size_t degree>
using Polynomial = std::array<double, degree + 1>;

template <std::size_t degree>
double value(const Polynomial<degree>& p, double t) {
  double sum = p[degree];
  for (std::size_t i = degree; i-- > 0;) sum = sum * t + p[i];
  return sum;
}

template <std::size_t degree>
Polynomial<degree - 1> derivative(const Polynomial<degree>& p) {
  Polynomial<degree - 1> result{};
  for (std::size_t i = 0; i < degree; ++i) result[i] = static_cast<double>(i + 1) * p[i + 1];
  return result;
}

/// The one root between two places of opposite sign: Newton's iteration, halving where it would leave the bracket. Near
/// the root a step squares what was off, so that behind a step of 1e-10 nothing is left to gain.
template <std::size_t degree>
double root_between(const Polynomial<degree>& p, const Polynomial<degree - 1>& slope, double low, double high,
                    double low_value, double high_value) {
  const bool rising = low_value < 0;
  double t = low + (high - low) * (low_value / (low_value - high_value));
  if (!(t > low && t < high)) t = (low + high) / 2;
  for (int round = 0; round < 100; ++round) {
    const double height = value<degree>(p, t);
    if (height == 0) return t;
    ((height < 0) == rising ? low : high) = t;
    double next = t - height / value<degree - 1>(slope, t), enough = 1e-10;
    if (!(next > low && next < high)) {
      next = (low + high) / 2;
      enough = 1e-16;
    }
    if (std::abs(next - t) <= enough * (1 + std::abs(t))) return next;
    t = next;
  }
  return t;
}

struct RealRoots {
  std::array<double, 8> at{};
  std::size_t count = 0;
};

RealRoots real_roots(const Polynomial<2>& p) {
  RealRoots roots;
  const double greatest = std::max({std::abs(p[0]), std::abs(p[1]), std::abs(p[2])});
  if (std::abs(p[2]) < 1e-300 + 1e-16 * greatest) {
    if (p[1] != 0) roots.at[roots.count++] = -p[0] / p[1];
    return roots;
  }
  const double discriminant = p[1] * p[1] - 4 * p[2] * p[0];
  if (discriminant < 0) return roots;
  const double q = -(p[1] + std::copysign(std::sqrt(discriminant), p[1])) / 2;
  roots.at[roots.count++] = q / p[2];
  roots.at[roots.count++] = q != 0 ? p[0] / q : 0.0;
  std::sort(roots.at.begin(), roots.at.begin() + static_cast<std::ptrdiff_t>(roots.count));
  return roots;
}

/// Roots in (-reach, reach), rising, between the summits that the derivative's roots mark.
template <std::size_t degree>
RealRoots roots_between(const Polynomial<degree>& p, const RealRoots& summits, double reach) {
  const auto slope = derivative<degree>(p);
  RealRoots roots;
  double low = -reach, low_value = value<degree>(p, low);
  for (std::size_t i = 0; i <= summits.count; ++i) {
    const double high = i < summits.count ? std::clamp(summits.at[i], -reach, reach) : reach;
    const double high_value = value<degree>(p, high);
    if ((low_value < 0) != (high_value < 0))
      roots.at[roots.count++] = root_between<degree>(p, slope, low, high, low_value, high_value);
    low = high;
    low_value = high_value;
  }
  return roots;
}

/// f(x + by)
TrigonometricPolynomial shifted(const TrigonometricPolynomial& f, double by) {
  const double c = std::cos(by), s = std::sin(by), c2 = c * c - s * s, s2 = 2 * s * c;
  return {f.constant, f.cosine * c + f.sine * s, f.sine * c - f.cosine * s, f.cosine2 * c2 + f.sine2 * s2,
          f.sine2 * c2 - f.cosine2 * s2};
}

/// (1 + t²)² f, t the tangent of half the angle.
Polynomial<4> in_half_angle(const TrigonometricPolynomial& f) {
  return {f.constant + f.cosine + f.cosine2, 2 * f.sine + 4 * f.sine2, 2 * f.constant - 6 * f.cosine2,
          2 * f.sine - 4 * f.sine2, f.constant - f.cosine + f.cosine2};
}

/// One of eight angles round the circle where |f| is largest.
double furthest_from_zero(const TrigonometricPolynomial& f) {
  double best = 0, greatest = -1;
  constexpr double h = std::numbers::sqrt2 / 2;
  constexpr std::array<double, 8> cosines{1, h, 0, -h, -1, -h, 0, h};
  for (std::size_t i = 0; i < 8; ++i) {
    const double c = cosines[i], s = cosines[(i + 6) % 8], c2 = cosines[2 * i % 8], s2 = cosines[(2 * i + 6) % 8];
    const double height = std::abs(f.constant + f.cosine * c + f.sine * s + f.cosine2 * c2 + f.sine2 * s2);
    if (height > greatest) {
      greatest = height;
      best = static_cast<double>(i) * pi / 4;
    }
  }
  return best;
}

}  // namespace

double TrigonometricPolynomial::at(double angle) const {
  const double c = std::cos(angle), s = std::sin(angle);
  return constant + cosine * c + sine * s + cosine2 * (c * c - s * s) + sine2 * 2 * s * c;
}

double TrigonometricPolynomial::greatest_coefficient() const {
  return std::max({std::abs(constant), std::abs(cosine), std::abs(sine), std::abs(cosine2), std::abs(sine2)});
}

TrigonometricPolynomial squared(double constant, double cosine, double sine) {
  return {constant * constant + (cosine * cosine + sine * sine) / 2, 2 * constant * cosine, 2 * constant * sine,
          (cosine * cosine - sine * sine) / 2, cosine * sine};
}

TrigonometricPolynomial operator+(const TrigonometricPolynomial& a, const TrigonometricPolynomial& b) {
  return {a.constant + b.constant, a.cosine + b.cosine, a.sine + b.sine, a.cosine2 + b.cosine2, a.sine2 + b.sine2};
}

TrigonometricPolynomial operator*(double factor, const TrigonometricPolynomial& p) {
  return {factor * p.constant, factor * p.cosine, factor * p.sine, factor * p.cosine2, factor * p.sine2};
}

AngleRoots roots_of(double constant, double cosine, double sine, double nothing, double touching) {
  AngleRoots roots;
  const double amplitude = std::sqrt(cosine * cosine + sine * sine);
  if (amplitude < nothing) {
    roots.everywhere = std::abs(constant) < nothing;
    return roots;
  }
  const double under_root = (amplitude - constant) * (amplitude + constant);
  constexpr double rounding = 1e-14;  // of coefficients that are differences of lengths about 1
  if (under_root < -2 * touching * amplitude * amplitude - rounding * amplitude) return roots;
  const double crest = std::atan2(sine, cosine);
  const double off_crest = std::atan2(std::sqrt(std::max(0.0, under_root)), -constant);
  roots.add(crest + off_crest);
  if (off_crest > 0 && under_root > 0) roots.add(crest - off_crest);
  return roots;
}

AngleRoots roots_of(const TrigonometricPolynomial& f, double touching) {
  AngleRoots roots;
  const double greatest = f.greatest_coefficient();
  if (greatest < 1e-14) {
    roots.everywhere = true;
    return roots;
  }
  const double opening = furthest_from_zero(f);
  const Polynomial<4> quartic = in_half_angle(shifted(f, opening + pi));
  double reach = 0;
  for (const double coefficient : quartic) reach = std::max(reach, std::abs(coefficient / quartic[4]));
  reach += 1;
  const auto cubic = derivative<4>(quartic);
  const RealRoots summits = roots_between<3>(cubic, real_roots(derivative<3>(cubic)), reach);
  const auto add = [&](double t) { roots.add(opening + pi + 2 * std::atan(t)); };
  const RealRoots crossings = roots_between<4>(quartic, summits, reach);
  std::for_each_n(crossings.at.begin(), crossings.count, add);
  std::for_each_n(summits.at.begin(), summits.count, [&](double t) {
    const double height = value<4>(quartic, t) / ((1 + t * t) * (1 + t * t));
    if (std::abs(height) < touching * greatest) add(t);
  });
  return roots;
}

}  // namespace cellproof
