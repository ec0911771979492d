// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/closed_form.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {
namespace {

Pose screw_x(double a, const Turn& tilt) {
  Pose pose = Pose::Identity();
  pose.linear() << 1, 0, 0, 0, tilt.cosine, -tilt.sine, 0, tilt.sine, tilt.cosine;
  pose.translation() << a, 0, 0;
  return pose;
}

double square(double x) {
  return x * x;
}

}  // namespace

NormalChain normal_chain(const Arm& arm) {
  NormalChain chain;
  chain.length = length_scale(arm);
  const bool standard = arm.convention == DhConvention::standard;
  const auto& rows = arm.rows;
  for (std::size_t i = 0; i < 5; ++i) {
    // A modified row's a and alpha stand before its joint, so they follow the joint before.
    const DhRow& after = rows[standard ? i : i + 1];
    chain.links[i] = {after.a / chain.length, i == 0 ? 0.0 : rows[i].d / chain.length, after.alpha,
                      turn_by(after.alpha)};
  }
  const Eigen::Translation3d first(0, 0, rows[0].d), last(0, 0, rows[5].d);
  const DhRow& outside = rows[standard ? 5 : 0];
  const Pose beside = screw_x(outside.a, turn_by(outside.alpha));
  chain.base_to_chain = standard ? Pose(first.inverse()) : (beside * first).inverse();
  chain.flange_to_chain = ((standard ? Pose(last * beside) : Pose(last)) * arm.flange_in_link6).inverse();
  return chain;
}

Pose NormalChain::target(const Pose& flange_in_base) const {
  Pose result = base_to_chain * flange_in_base * flange_to_chain;
  result.translation() /= length;
  return result;
}

std::optional<double> angle_between(double one_minus_cosine, double one_plus_cosine) {
  const double slack = 1e-9 * (std::abs(one_minus_cosine) + std::abs(one_plus_cosine));
  if (!(one_minus_cosine >= -slack && one_plus_cosine >= -slack)) return std::nullopt;
  return 2 * std::atan2(std::sqrt(std::max(0.0, one_minus_cosine)), std::sqrt(std::max(0.0, one_plus_cosine)));
}

std::optional<double> fifth_angle(const NormalChain& chain, double axes_cosine, double axes_sine) {
  const NormalLink &fourth = chain.links[3], &fifth = chain.links[4];
  // cos(axes) = cos α4 cos α5 − sin α4 sin α5 cos θ5, written so that nothing cancels near 0 and near a half turn.
  const double sines = fourth.tilt.sine * fifth.tilt.sine;
  const double sum = (fourth.alpha + fifth.alpha) / 2, difference = (fourth.alpha - fifth.alpha) / 2;
  const Turn half_sum = turn_by(sum), half_difference = turn_by(difference);
  double minus = 0, plus = 0;
  if (axes_cosine < 0) {
    const double above = square(axes_sine) / (1 - axes_cosine);
    minus = above - 2 * square(half_sum.cosine);
    plus = 2 * square(half_difference.cosine) - above;
  } else {
    const double below = square(axes_sine) / (1 + axes_cosine);
    minus = 2 * square(half_sum.sine) - below;
    plus = below - 2 * square(half_difference.sine);
  }
  const double sign = sines > 0 ? 1 : -1;
  return angle_between(sign * minus, sign * plus);
}

std::optional<double> elbow_angle(double first, double second, double distance) {
  const double sum = first + second, difference = first - second, sign = first * second > 0 ? 1 : -1;
  return angle_between(sign * (sum - distance) * (sum + distance),
                       sign * (distance - difference) * (distance + difference));
}

}  // namespace cellproof
