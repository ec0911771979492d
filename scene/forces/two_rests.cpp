// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/two_rests.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

/// The moment of what presses, as force times place: the sum over rests of N p.
Vector2d pressing_moment(const Wrench& load) {
  return {load[4], -load[3]};
}

double left_along(double grip, double across) {
  return std::sqrt(std::max(0.0, grip * grip - across * across));
}

}  // namespace

TwoRests::TwoRests(const Vector2d& first, const Vector2d& second, double friction)
    : first_(first), apart_((second - first).norm()), friction_(friction) {
  way_ = (second - first) / apart_;
  side_ = {-way_.y(), way_.x()};
}

double TwoRests::off_line(const Wrench& load) const {
  return side_.dot(pressing_moment(load) + load[2] * first_);
}

std::array<double, 2> TwoRests::pressed(const Wrench& load) const {
  const double second = way_.dot(pressing_moment(load) + load[2] * first_) / apart_;
  return {-load[2] - second, second};
}

std::array<double, 2> TwoRests::across(const Wrench& load) const {
  const Vector2d force = load.head<2>();
  const double turning = load[5] - (first_.x() * force.y() - first_.y() * force.x());
  return {turning / apart_ - side_.dot(force), -turning / apart_};
}

bool TwoRests::hold(const Wrench& load) const {
  const auto on = pressed(load);
  const auto aside = across(load);
  const double rounding = 1e-10 * std::abs(load[2]);
  double along = rounding;
  for (std::size_t i = 0; i < 2; ++i) {
    const double grip = friction_ * on[i];
    if (std::abs(aside[i]) > grip + rounding) return false;
    along += left_along(grip, aside[i]);
  }
  return std::abs(way_.dot(load.head<2>())) <= along;
}

std::array<Vector2d, 2> TwoRests::friction(const Wrench& load) const {
  const auto on = pressed(load);
  const auto aside = across(load);
  std::array<double, 2> left{left_along(friction_ * on[0], aside[0]), left_along(friction_ * on[1], aside[1])};
  const double all = left[0] + left[1], share = all > 0 ? -way_.dot(load.head<2>()) / all : 0;
  return {Vector2d(aside[0] * side_ + share * left[0] * way_), Vector2d(aside[1] * side_ + share * left[1] * way_)};
}

bool TwoRests::turns(const Wrench& load) const {
  const auto on = pressed(load);
  const auto aside = across(load);
  // Each slides against its friction, and both as fast along the line. One that carries all it can across the line does
  // not hold back along it.
  std::array<double, 2> speed{};
  for (std::size_t i = 0; i < 2; ++i) {
    const double grip = friction_ * std::max(0.0, on[i]);
    speed[i] = -aside[i] / std::max(left_along(grip, aside[i]), 1e-9 * (grip + std::abs(aside[i])) + 1e-300);
  }
  const double turning = std::abs(speed[1] - speed[0]) / 2, middle = std::hypot(1, (speed[0] + speed[1]) / 2);
  return 3 * turning > middle;
}

}  // namespace cellproof
