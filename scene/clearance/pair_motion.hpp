// SPDX-License-Identifier: GPL-3.0-or-later
// Two bodies over one stretch, seen from a frame that the pair itself has: the same pair moving the same way elsewhere
// in the world, in another run or another proof, is the same to the bit, and has the same key.
#pragma once

#include <optional>

#include "scene/basics/content_key.hpp"
#include "scene/clearance/carried_motion.hpp"

namespace cellproof {

class PairMotion {
 public:
  /// Keeps the motion by reference.
  PairMotion(const Scene& scene, const CarriedMotion& motion, BodyId body_a, BodyId body_b);

  const Solid& a() const { return a_; }
  const Solid& b() const { return b_; }
  /// In the pair's frame at a share of the path.
  Pose pose_a(double share) const { return motion_.pose(mover_a_, share); }
  Pose pose_b(double share) const { return motion_.pose(mover_b_, share); }
  Vector3d in_world(const Vector3d& point, double share) const;

  /// Nothing moves one against the other.
  bool still() const { return still_; }
  /// No point of one moves further than this (mm) against the other between two shares.
  double travel(double from, double to) const;
  double box_distance_at(double share) const;
  /// At a share, for surfaces that don't touch: some of one lies in the other.
  bool inside(double share) const;

  /// What the meshes and the chain of knots may be off by (mm): to be taken off a lower bound, added to an upper one.
  /// The lower one has what rounding may add up to in it.
  struct Slack {
    double lower = 0, upper = 0;
  };
  const Slack& slack() const { return slack_; }

  /// As `nearest` and `nearest_over`, a first.
  Nearest at(double share, double cap, std::optional<TrianglePair> likely, double slack_mm) const;
  NearestOver over(double from, double to, double cap, std::optional<TrianglePair> likely, double slack_mm) const;

  /// Of the meshes and how one moves against the other over the whole stretch; none where a shift rides on a shift.
  const std::optional<ContentKey>& key() const { return key_; }

 private:
  void settle_frame();
  ContentKey make_key(double guard) const;

  const CarriedMotion& motion_;
  const Solid &a_, &b_;
  Mover mover_a_, mover_b_;
  Mover carrier_;  ///< of the pair's frame; b's where nothing moves one against the other
  bool still_;
  Slack slack_;
  std::optional<ContentKey> key_;
};

}  // namespace cellproof
