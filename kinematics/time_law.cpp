// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/time_law.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

TimeLaw::TimeLaw(double speed, double acceleration)
    : speed_(std::min(speed, std::sqrt(acceleration))), acceleration_(acceleration), blend_(speed_ / acceleration) {
  const double cruise = std::max(0.0, 1 / speed_ - blend_);
  duration_ = 2 * blend_ + cruise;
}

LawPoint TimeLaw::at(double time) const {
  if (duration_ <= 0 || time >= duration_) return {1, 0, 0};
  time = std::max(time, 0.0);
  if (time < blend_) return {acceleration_ * time * time / 2, acceleration_ * time, acceleration_};
  const double left = duration_ - time;
  if (left <= blend_) return {1 - acceleration_ * left * left / 2, acceleration_ * left, -acceleration_};
  return {speed_ * (time - blend_ / 2), speed_, 0};
}

double TimeLaw::time_at(double s) const {
  s = std::clamp(s, 0.0, 1.0);
  if (duration_ <= 0) return 0;
  const double blend_distance = acceleration_ * blend_ * blend_ / 2;
  if (s < blend_distance) return std::sqrt(2 * s / acceleration_);
  if (1 - s < blend_distance) return duration_ - std::sqrt(2 * (1 - s) / acceleration_);
  return std::clamp(s / speed_ + blend_ / 2, 0.0, duration_);
}

}  // namespace cellproof
