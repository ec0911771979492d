// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/pair_motion.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

/// Of a pair at rest, which is asked once: what a search may leave undone.
constexpr double rest_slack_mm = 1e-6;

/// What rounding adds up to is in proportion to lengths. A pose on the lattice turns by up to 1e-13 too much
/// (`on_lattice`; two poses a body, two bodies: 6e-13 of a length), a search betters an answer only by more than 5e-11
/// of it (scene/solids/nearest.cpp), and doubles round by 1.1e-16 of a length at each of a few dozen steps.
constexpr double least_guard_mm = 1e-6, guard_of_length = 1e-10;
/// Of lengths in the world, where poses are multiplied before the pair's own frame is taken.
constexpr double guard_of_world = 1e-14;

/// In steps of two: the same pair elsewhere in the world is the same.
double guard_of(double length, double in_world) {
  const double guard = guard_of_length * length + guard_of_world * in_world;
  return guard <= least_guard_mm ? least_guard_mm : std::exp2(std::ceil(std::log2(guard)));
}

const Solid& solid_of(const Scene& scene, BodyId body) {
  return *scene.bodies[body].solid;
}

Mover standing(const Pose& pose) {
  Mover mover;
  mover.after = pose;
  return mover;
}

/// The mover with its place and its body's on the lattice, in a frame of the world.
Mover seen_from(const Pose& frame, Mover mover, const Solid& solid) {
  if (mover.by == Mover::By::nothing) {
    mover.after = on_lattice(frame.inverse() * mover.before * mover.after);
    mover.before = Pose::Identity();
  } else {
    mover.before = on_lattice(frame.inverse() * mover.before);
    mover.after = on_lattice(mover.after);
  }
  const auto corners = solid.box().corners();
  for (std::size_t i = 0; i < corners.size(); ++i) mover.hull.corners_in_link[i] = mover.after * corners[i];
  return mover;
}

/// A frame that stands in world and that the pair brings along.
Pose own_frame(const Mover& a, const Mover& b) {
  for (const Mover* mover : {&a, &b})
    if (mover->by == Mover::By::link) return mover->before;
  for (const Mover* mover : {&b, &a})
    if (mover->by == Mover::By::nothing) return mover->before * mover->after;
  return a.before;
}

}  // namespace

PairMotion::PairMotion(const Scene& scene, const CarriedMotion& motion, BodyId body_a, BodyId body_b)
    : motion_(motion),
      a_(solid_of(scene, body_a)),
      b_(solid_of(scene, body_b)),
      mover_a_(motion.mover_of(body_a)),
      mover_b_(motion.mover_of(body_b)),
      still_(motion.stands_still(mover_a_, mover_b_)) {
  const double stray = motion.chain_stray(mover_a_, mover_b_);
  const double in_world = motion.reach(mover_a_) + motion.reach(mover_b_);
  settle_frame();
  const double guard = guard_of(motion.reach(mover_a_) + motion.reach(mover_b_), in_world);
  slack_.lower = stray + a_.mesh().deviation.outside + b_.mesh().deviation.outside + guard;
  slack_.upper = stray + a_.mesh().deviation.inside + b_.mesh().deviation.inside;
  if (!mover_a_.carrier && !mover_b_.carrier) key_ = make_key(guard);
}

void PairMotion::settle_frame() {
  if (mover_a_.carrier || mover_b_.carrier) return;
  if (still_) {  // both ride on the same: b stands, and a stands beside it
    carrier_ = mover_b_;
    mover_a_ = seen_from(Pose::Identity(),
                         standing((mover_b_.before * mover_b_.after).inverse() * mover_a_.before * mover_a_.after), a_);
    mover_b_ = seen_from(Pose::Identity(), standing(Pose::Identity()), b_);
  } else {
    const Pose frame = own_frame(mover_a_, mover_b_);
    carrier_ = standing(frame);
    mover_a_ = seen_from(frame, mover_a_, a_);
    mover_b_ = seen_from(frame, mover_b_, b_);
  }
}

ContentKey PairMotion::make_key(double guard) const {
  KeyWriter writer;
  writer.add(guard);
  writer.add(a_.content());
  writer.add(b_.content());
  for (const Mover* mover : {&mover_a_, &mover_b_}) {
    writer.add(mover->before);
    writer.add(mover->after);
    motion_.describe(*mover, writer);
  }
  return writer.key();
}

Vector3d PairMotion::in_world(const Vector3d& point, double share) const {
  return motion_.pose(carrier_, share) * point;
}

double PairMotion::travel(double from, double to) const {
  return still_ ? 0 : motion_.relative_travel(mover_a_, mover_b_, from, to);
}

double PairMotion::box_distance_at(double share) const {
  return box_distance(a_, pose_a(share), b_, pose_b(share));
}

bool PairMotion::inside(double share) const {
  return contains_part_of(a_, pose_a(share), b_, pose_b(share));
}

Nearest PairMotion::at(double share, double cap, std::optional<TrianglePair> likely, double slack_mm) const {
  return nearest(a_, pose_a(share), b_, pose_b(share), cap, likely, slack_mm);
}

NearestOver PairMotion::over(double from, double to, double cap, std::optional<TrianglePair> likely,
                             double slack_mm) const {
  const double middle = 0.5 * (from + to);
  if (still_) {
    const double slack = std::min(slack_mm, rest_slack_mm);
    const Nearest now = at(middle, cap, likely, slack);
    return {now, now.within_cap ? now.distance - std::min(slack, 0.5 * now.distance) : now.distance};
  }
  const auto against = motion_.motion_against(mover_a_, mover_b_, from, to);
  if (against.a_is_outer)
    return nearest_over(a_, pose_a(middle), b_, pose_b(middle), against.motion, cap, likely, slack_mm);
  if (likely) std::swap(likely->a, likely->b);
  NearestOver over = nearest_over(b_, pose_b(middle), a_, pose_a(middle), against.motion, cap, likely, slack_mm);
  std::swap(over.middle.point_a, over.middle.point_b);
  if (over.middle.triangles) std::swap(over.middle.triangles->a, over.middle.triangles->b);
  return over;
}

}  // namespace cellproof
