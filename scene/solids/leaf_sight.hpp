// SPDX-License-Identifier: GPL-3.0-or-later
// The line of sight along which two trees' leaves are told apart.
#pragma once

#include <cmath>

#include "scene/solids/search_tree.hpp"
#include "scene/solids/triangle_lanes.hpp"

namespace cellproof {

/// Made anew when the sight changes.
class LeafSight {
 public:
  /// `motion` is that of a, in a's frame.
  LeafSight(const SearchTree& a, const SearchTree& b, const lanes::SharedDirection& sight, const lanes::Drift& motion)
      : sight_(sight), along_a_(lanes::reaching(sight.in_a, motion)), along_b_(lanes::reaching(sight.in_b, {})) {
    const double lever = std::abs(along_a_.lever[0]) + std::abs(along_a_.lever[1]) + std::abs(along_a_.lever[2]);
    rounding_ = lanes::reach_rounding * (a.extent * (1 + lever) + std::abs(along_a_.along_shift) + b.extent);
  }

  const lanes::SharedDirection& sight() const { return sight_; }

  /// True if the leaves are at least `limit` apart along the sight.
  bool apart(const lanes::Points& a, const lanes::Points& b, double limit) const {
    return gap(lanes::between(a, along_a_, b, along_b_)) >= limit;
  }
  /// The same all along the motion.
  bool apart_moved(const lanes::Points& a, const lanes::Points& b, double limit) const {
    return gap(lanes::between_moved(a, along_a_, b, along_b_)) >= limit;
  }

 private:
  double gap(float between) const { return static_cast<double>(between) + sight_.offset - rounding_; }

  lanes::SharedDirection sight_;
  lanes::Reaching along_a_, along_b_;
  double rounding_ = 0;
};

}  // namespace cellproof
