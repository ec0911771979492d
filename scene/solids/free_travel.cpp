// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/free_travel.hpp"

#include <algorithm>

namespace cellproof {

namespace {

constexpr double precise_mm = 1e-3;
constexpr double kept_mm = precise_mm / 2;  // nearer than this is met

Pose moved(const Pose& pose, const Vector3d& by) {
  return Eigen::Translation3d(by) * pose;
}

/// Walks ahead by spans that are proven to be clear: longer after each that is, halved where one is not.
class Walk {
 public:
  Walk(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, const Vector3d& way)
      : a_(a), b_(b), from_(a_in_world), b_in_world_(b_in_world), length_(way.norm()), along_(way / length_) {}

  double run() {
    double done = 0, span = length_;
    while (done < length_) {
      span = std::min(span, length_ - done);
      if (is_clear(done, done + span)) {
        done += span;
        span *= 2;
        continue;
      }
      if (span <= kept_mm) return done;
      span /= 2;
    }
    return length_;
  }

 private:
  bool is_clear(double from, double to) {
    RelativeMotion motion;
    motion.velocity = (to - from) * along_;
    motion.half = 0.5;
    const Pose middle = moved(from_, (from + to) / 2 * along_);
    const double cap = to - from + precise_mm;  // further apart than this they stay clear
    const NearestOver over = nearest_over(a_, middle, b_, b_in_world_, motion, cap, likely_);
    likely_ = over.middle.triangles;
    return over.lower_mm >= kept_mm;
  }

  const Solid &a_, &b_;
  Pose from_, b_in_world_;
  double length_;
  Vector3d along_;
  std::optional<TrianglePair> likely_;
};

}  // namespace

double free_travel(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world,
                   const Vector3d& way) {
  if (contains_part_of(a, a_in_world, b, b_in_world)) return 0;
  return Walk(a, a_in_world, b, b_in_world, way).run();
}

}  // namespace cellproof
