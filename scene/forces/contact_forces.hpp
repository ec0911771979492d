// SPDX-License-Identifier: GPL-3.0-or-later
// The greatest multiple of a load that rests which only press, and clamps that only pinch, can balance by friction.
#pragma once

#include <limits>
#include <memory>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// A force (N) and its moment about the origin (N mm).
using Wrench = Eigen::Matrix<double, 6, 1>;
Wrench wrench_of(const Vector3d& force, const Vector3d& at);

/// What touches a rigid part, in the seat's frame, mm: rests in the plane z = 0 press along +z as much as is asked of
/// them and rub; at most 16 tips of clamps rub in the seat's xy, with at most `grips` (N, friction times force).
struct Contacts {
  static constexpr std::size_t most_tips = 16;
  std::vector<Vector2d> rests;
  double friction = 0;
  std::vector<Vector3d> tips;
  std::vector<double> grips;
};

struct HeldMultiple {
  double factor = 0;                ///< infinite where no multiple is too much
  std::vector<Vector3d> reactions;  ///< of each rest on the part (N) at that multiple
  Wrench motion = Wrench::Zero();   ///< how the part begins to move: velocity of the origin, turning; to some scale
};

/// Balances `constant` and the greatest multiple of `load`: a factor below 0 means that not even `constant` is held.
/// Nothing is sought beyond `enough`. Limit analysis by its static theorem (D. C. Drucker, W. Prager, H. J. Greenberg,
/// Quart. Appl. Math. 9:381-389, 1952): a linear programme in the contacts' forces, whose columns are made as they are
/// needed, one along the way each contact would slide. Each step is a balance within the friction cones, so the factor
/// is approached from below, to 1 in 100,000.
HeldMultiple held_multiple(const Contacts& contacts, const Wrench& constant, const Wrench& load,
                           double enough = std::numeric_limits<double>::infinity());

/// The same for many loads beside one constant.
class HeldLoads {
 public:
  HeldLoads(const Contacts& contacts, const Wrench& constant);
  ~HeldLoads();
  bool holds_constant() const;
  HeldMultiple greatest(const Wrench& load, double enough = std::numeric_limits<double>::infinity()) const;

 private:
  class Programme;
  struct Start;
  std::unique_ptr<const Start> start_;
};

}  // namespace cellproof
