// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/three_rests.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

ThreeRests::ThreeRests(const Vector2d& a, const Vector2d& b, const Vector2d& c, double friction)
    : rests_{a, b, c}, friction_(friction) {
  const Vector2d ab = b - a, ac = c - a;
  const double size = std::max(ab.squaredNorm(), ac.squaredNorm()), twice_area = ab.x() * ac.y() - ab.y() * ac.x();
  plane_ = std::abs(twice_area) > 1e-7 * size;
  if (!plane_) return;
  Eigen::Matrix3d balance;
  balance << 1, 1, 1, a.x(), b.x(), c.x(), a.y(), b.y(), c.y();
  shares_ = balance.inverse();
}

Vector3d ThreeRests::pressed(const Wrench& load) const {
  return shares_ * Vector3d(-load[2], load[4], -load[3]);
}

std::optional<ThreeRests::Multiples> ThreeRests::carried(const Wrench& constant, const Wrench& load) const {
  const Vector3d at_first = pressed(constant), grows = pressed(load);
  Multiples found{0, std::numeric_limits<double>::infinity()};
  for (Eigen::Index i = 0; i < 3; ++i) {
    const double off = -at_first[i] / grows[i];
    if (grows[i] > 0) found.first = std::max(found.first, off);
    if (grows[i] < 0) found.last = std::min(found.last, off);
    if (grows[i] == 0 && at_first[i] < 0) return std::nullopt;
  }
  if (!(found.first < found.last)) return std::nullopt;
  return found;
}

bool ThreeRests::hold_easily(const Wrench& load) const {
  if (!plane_) return false;
  const Vector3d on = pressed(load);
  if (!(on.minCoeff() >= 0)) return false;
  const double all = on.sum();
  if (!(all > 0)) return false;
  Vector2d middle = Vector2d::Zero();
  for (Eigen::Index i = 0; i < 3; ++i) middle += on[i] / all * rests_[static_cast<unsigned>(i)];
  double spread = 0;
  for (Eigen::Index i = 0; i < 3; ++i) spread += on[i] * (rests_[static_cast<unsigned>(i)] - middle).squaredNorm();
  const Vector2d force = load.head<2>();
  const double turning = load[5] - (middle.x() * force.y() - middle.y() * force.x());
  if (!(spread > 0)) return false;
  const double twist = turning / spread;
  return std::ranges::all_of(rests_, [&](const Vector2d& rest) {
    const Vector2d arm = rest - middle;
    return (force / all + twist * Vector2d(-arm.y(), arm.x())).norm() <= friction_;
  });
}

}  // namespace cellproof
