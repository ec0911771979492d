// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/closed_form.hpp"

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

NormalChain reversed(const NormalChain& chain) {
  NormalChain back;
  back.length = chain.length;
  for (std::size_t i = 0; i < 5; ++i) {
    const NormalLink& link = chain.links[4 - i];
    back.links[i] = {-link.a, i == 0 ? 0.0 : chain.links[5 - i].d, -link.alpha, {-link.tilt.sine, link.tilt.cosine}};
  }
  return back;
}

Pose reversed(const Pose& target) {
  // A half turn about x makes Rz(−θ) of Rz(θ).
  const Eigen::DiagonalMatrix<double, 3> half_turn(1, -1, -1);
  Pose back = Pose::Identity();
  back.linear() = half_turn * target.linear().transpose() * half_turn;
  back.translation() = half_turn * (-(target.linear().transpose() * target.translation()));
  return back;
}

Pose link_pose(const NormalLink& link) {
  Pose pose = screw_x(link.a, link.tilt);
  pose.translation().z() = link.d;
  return pose;
}

namespace {

std::array<Eigen::Index, 6> counted_back(std::array<Eigen::Index, 6> joints) {
  for (Eigen::Index& joint : joints) joint = 5 - joint;
  return joints;
}

MeetingAxes meeting_at_hand(const NormalChain& chain, const Pose& target) {
  const auto& links = chain.links;
  return {{0, 1, 2, 3, 4, 5}, links[0], link_pose(links[1]), link_pose(links[2]), links[3], links[4], target};
}

MeetingAxes meeting_in_the_middle(const NormalChain& chain, const Pose& target) {
  const auto& links = chain.links;
  NormalLink first = links[4];
  first.d = 0;
  const Pose behind = Eigen::Translation3d(0, 0, -links[4].d) * link_pose(links[3]).inverse();
  return {{4, 5, 0, 1, 2, 3}, first, target.inverse(), link_pose(links[0]), links[1], links[2], behind};
}

ParallelAxes parallel_in_the_middle(const NormalChain& chain, const Pose& target) {
  const auto& links = chain.links;
  return {{0, 1, 2, 3, 4, 5}, link_pose(links[0]), links[1], links[2], links[3], links[4], target};
}

ParallelAxes parallel_at_base(const NormalChain& chain, const Pose& target) {
  const auto& links = chain.links;
  return {{5, 0, 1, 2, 3, 4}, target.inverse(), links[0], links[1], links[2], links[3], link_pose(links[4]).inverse()};
}

}  // namespace

MeetingAxes meeting_axes(const NormalChain& chain, const Pose& target, int first) {
  if (first == 4) return meeting_at_hand(chain, target);
  if (first == 2) return meeting_in_the_middle(chain, target);
  const NormalChain back = reversed(chain);
  MeetingAxes axes =
      first == 1 ? meeting_at_hand(back, reversed(target)) : meeting_in_the_middle(back, reversed(target));
  axes.joints = counted_back(axes.joints);
  return axes;
}

ParallelAxes parallel_axes(const NormalChain& chain, const Pose& target, int first) {
  if (first == 2) return parallel_in_the_middle(chain, target);
  if (first == 1) return parallel_at_base(chain, target);
  const NormalChain back = reversed(chain);
  ParallelAxes axes =
      first == 3 ? parallel_in_the_middle(back, reversed(target)) : parallel_at_base(back, reversed(target));
  axes.joints = counted_back(axes.joints);
  return axes;
}

std::optional<double> angle_between(double one_minus_cosine, double one_plus_cosine, double touching) {
  const double slack = touching * (std::abs(one_minus_cosine) + std::abs(one_plus_cosine));
  if (!(one_minus_cosine >= -slack && one_plus_cosine >= -slack)) return std::nullopt;
  return 2 * std::atan2(std::sqrt(std::max(0.0, one_minus_cosine)), std::sqrt(std::max(0.0, one_plus_cosine)));
}

std::optional<double> middle_angle(const NormalLink& before, const NormalLink& after, double axes_cosine,
                                   double axes_sine, double touching) {
  // cos(axes) = cos α cos α′ − sin α sin α′ cos θ, written so that nothing cancels near 0 and near a half turn.
  const double sines = before.tilt.sine * after.tilt.sine;
  const double sum = (before.alpha + after.alpha) / 2, difference = (before.alpha - after.alpha) / 2;
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
  return angle_between(sign * minus, sign * plus, touching);
}

std::optional<double> elbow_angle(double first, double second, double distance, double touching) {
  const double sum = first + second, difference = first - second, sign = first * second > 0 ? 1 : -1;
  return angle_between(sign * (sum - distance) * (sum + distance),
                       sign * (distance - difference) * (distance + difference), touching);
}

}  // namespace cellproof
