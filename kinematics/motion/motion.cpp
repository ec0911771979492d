// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/motion.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace cellproof {

namespace {

MotionPoint motion_by(const Arm& arm, const Path& path, const LawPoint& law) {
  const PathPoint point = path.at(arm, law.s);
  return {point.values, law.rate * point.first, law.rate_change * point.first + law.rate * law.rate * point.second};
}

}  // namespace

MotionPoint motion_at(const Arm& arm, const Motion& motion, double time) {
  return motion_by(arm, motion.path, motion.law.at(time));
}

MotionPoint motion_before(const Arm& arm, const Motion& motion, double time) {
  return motion_by(arm, motion.path, motion.law.before(time));
}

Motion joint_motion(const Arm& arm, const Joints& from, const Joints& to, const SpeedSettings& settings) {
  Motion motion{Path::joint(from, to), {}};
  if (motion.path.goes_nowhere()) return motion;
  double speed = std::numeric_limits<double>::infinity(), acceleration = speed;
  for (std::size_t j = 0; j < 6; ++j) {
    const double distance = std::abs(to[static_cast<Eigen::Index>(j)] - from[static_cast<Eigen::Index>(j)]);
    if (distance <= 0) continue;
    speed = std::min(speed, settings.joint_speed * arm.limits[j].speed / distance);
    acceleration = std::min(acceleration, settings.joint_acceleration * arm.limits[j].acceleration / distance);
  }
  motion.law = TimeLaw(speed, acceleration);
  return motion;
}

}  // namespace cellproof
