// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <Eigen/LU>

#include "kinematics/entry.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {
namespace {

constexpr double slack = 1e-9;
constexpr double whole_turn = 2 * pi;

/// Into (-pi, pi]; what rounding leaves just above -pi is pi.
double wrapped(double angle) {
  const auto turns = static_cast<double>(static_cast<long>(angle / whole_turn + std::copysign(0.5, angle)));
  const double turned = angle - whole_turn * turns;
  return turned <= -pi + 1e-12 ? std::min(pi, turned + whole_turn) : std::min(pi, turned);
}

struct WholeRange {
  int from = 0, to = -1;
};

WholeRange whole_numbers(double low, double high) {
  return {static_cast<int>(std::ceil(low)), static_cast<int>(std::floor(high))};
}

/// Calls `visit` with every choice of one whole number from each range, the last running fastest.
template <typename Visit>
void for_each_choice(const std::array<WholeRange, 6>& ranges, const Visit& visit) {
  Joints choice;
  for (std::size_t i = 0; i < 6; ++i) {
    if (ranges[i].to < ranges[i].from) return;
    choice[static_cast<Eigen::Index>(i)] = ranges[i].from;
  }
  for (;;) {
    visit(choice);
    Eigen::Index digit = 5;
    while (digit >= 0 && choice[digit] >= entry(ranges, digit).to) {
      choice[digit] = entry(ranges, digit).from;
      --digit;
    }
    if (digit < 0) return;
    choice[digit] += 1;
  }
}

bool is_inside(const Joints& values, const Joints& low, const Joints& high) {
  return ((values - low).array() >= -slack).all() && ((high - values).array() >= -slack).all();
}

bool lower_first(const Joints& a, const Joints& b) {
  return std::lexicographical_compare(a.data(), a.data() + 6, b.data(), b.data() + 6);
}

}  // namespace

TurnLattice::TurnLattice(const Arm& arm) : dh_from_values_(arm.dh_from_values), values_from_dh_(arm.dh_from_values) {
  for (std::size_t i = 0; i < 6; ++i) theta_[static_cast<Eigen::Index>(i)] = arm.rows[i].theta;
  for (Eigen::Index i = 0; i < 6; ++i) {
    for (Eigen::Index j = 0; j < 6; ++j) {
      const double entry = std::abs(dh_from_values_(i, j));
      diagonal_ = diagonal_ && entry == (i == j ? 1.0 : 0.0);
    }
  }
  if (diagonal_) return;
  values_from_dh_ = dh_from_values_.inverse();
  const auto all_whole = [](const Eigen::Matrix<double, 6, 6>& matrix) {
    return (matrix.array() - matrix.array().round()).abs().maxCoeff() < 1e-12;
  };
  whole_ = all_whole(dh_from_values_) && all_whole(values_from_dh_);
}

Joints TurnLattice::values_of(const Joints& whole_dh_angles) const {
  const Joints dh_angles = whole_dh_angles - theta_;
  const Joints values =
      diagonal_ ? Joints(values_from_dh_.diagonal().cwiseProduct(dh_angles)) : Joints(values_from_dh_ * dh_angles);
  return whole_ ? Joints(values.unaryExpr(&wrapped)) : nearest_zero(values);
}

Joints TurnLattice::nearest_zero(const Joints& values) const {
  const auto size = [](const Joints& v) { return v.cwiseAbs().maxCoeff(); };
  for (double reach = pi;; reach += pi) {
    const auto choices = within(values, Joints::Constant(-reach), Joints::Constant(reach));
    if (choices.empty()) continue;
    return *std::min_element(choices.begin(), choices.end(),
                             [&](const Joints& a, const Joints& b) { return size(a) < size(b); });
  }
}

std::vector<Joints> TurnLattice::within(const Joints& values, const Joints& low, const Joints& high) const {
  std::vector<Joints> found;
  // A range in values is at most this range in turns of DH angles.
  const Joints middle = dh_from_values_ * ((low + high) / 2 - values);
  const Joints half = dh_from_values_.cwiseAbs() * ((high - low) / 2).eval();
  std::array<WholeRange, 6> ranges;
  for (std::size_t i = 0; i < 6; ++i) {
    const auto j = static_cast<Eigen::Index>(i);
    ranges[i] =
        whole_ ? whole_numbers((low[j] - values[j] - slack) / whole_turn, (high[j] - values[j] + slack) / whole_turn)
               : whole_numbers((middle[j] - half[j] - slack) / whole_turn, (middle[j] + half[j] + slack) / whole_turn);
  }
  for_each_choice(ranges, [&](const Joints& turns) {
    const Joints choice = values + whole_turn * (whole_ ? turns : Joints(values_from_dh_ * turns));
    if (is_inside(choice, low, high)) found.push_back(choice);
  });
  std::sort(found.begin(), found.end(), lower_first);
  return found;
}

std::vector<Joints> whole_turns(const Arm& arm, const Joints& values) {
  Joints low, high;
  for (std::size_t i = 0; i < 6; ++i) {
    low[static_cast<Eigen::Index>(i)] = arm.limits[i].min;
    high[static_cast<Eigen::Index>(i)] = arm.limits[i].max;
  }
  std::vector<Joints> choices = TurnLattice(arm).within(values, low, high);
  std::erase_if(choices, [&](const Joints& choice) { return !within_limits(arm, choice); });
  return choices;
}

}  // namespace cellproof
