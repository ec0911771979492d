// SPDX-License-Identifier: GPL-3.0-or-later
// How bodies move during one stretch: where each is at a share of the path, and how far two of them can move apart.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "kinematics/motion/motion_bounds.hpp"
#include "scene/cycle/cycle.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

/// What moves a body during a stretch: nothing, a link of the moving arm, or a shifting frame.
/// Its pose in world is before · (what moves) · after; where a shifting frame rides on another that shifts at the same
/// time, `carrier` takes the place of `before`.
struct Mover {
  enum class By { nothing, link, shift } by = By::nothing;
  std::size_t number = 0;  ///< link 1 … 6, or index into the stretch's shifts
  Pose before = Pose::Identity(), after = Pose::Identity();
  std::shared_ptr<const Mover> carrier;
  CarriedHull hull;  ///< corners of the body's box in the frame that moves (link or shifting frame)
};

/// How one stretch moves its bodies, at an instant and over spans of the path.
class CarriedMotion {
 public:
  CarriedMotion(const Scene& scene, const Stretch& stretch);

  Mover mover_of(BodyId body) const;
  Pose pose(const Mover& mover, double share) const;
  /// Upper bound (mm) over the path between two shares.
  double relative_travel(const Mover& a, const Mover& b, double from, double to) const;
  /// The motion of one against the other over a span, about its middle: even, with a bound on how far it is off.
  /// `outer` is the one whose points it speaks of, the other counts as standing where it is at the middle.
  struct Against {
    bool a_is_outer = true;
    RelativeMotion motion;  ///< world axes, at the middle; half is 1/2: velocities are over the whole span
  };
  Against motion_against(const Mover& a, const Mover& b, double from, double to) const;
  /// How far the chain of knots may be from the ideal motion of a pair (mm): 0 where both are placed ideally.
  double chain_stray(const Mover& a, const Mover& b) const;
  /// No point of the body, and no frame on the way to it, is further from where its mover is seen than this (mm), at
  /// any time: what rounding is in proportion to.
  double reach(const Mover& mover) const;
  /// True if nothing moves one against the other at all.
  bool stands_still(const Mover& a, const Mover& b) const;
  /// Adds to a key what moves a body, its place in the world left aside.
  void describe(const Mover& mover, KeyWriter& writer) const;

 private:
  const ArmFrames& frames_at(double share) const;
  Mover mover_of_frame(FrameId frame) const;
  std::optional<std::size_t> shift_of(FrameId frame) const;
  bool on_line(const Mover& mover) const;
  Pose line_pose_of_link6(double share) const;
  double shift_travel(const Mover& shifted, double share) const;
  double tool_travel(const Mover& mover, double from, double to) const;
  RelativeMotion line_motion(const Mover& tool, double from, double to) const;
  RelativeMotion joints_motion(const Mover& outer, std::size_t inner_link, double from, double to) const;
  RelativeMotion shift_motion(const Mover& shifted, double from, double to) const;

  const Scene& scene_;
  const Stretch& stretch_;
  bool arm_moves_;
  ContentKey arm_and_path_;
  mutable std::map<double, ArmFrames> frames_;  ///< many pairs ask for the same instants
};

}  // namespace cellproof
