// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/carried_motion.hpp"

#include <algorithm>
#include <limits>

namespace cellproof {

CarriedMotion::CarriedMotion(const Scene& scene, const Stretch& stretch)
    : scene_(scene), stretch_(stretch), arm_moves_(!stretch.motion.path.goes_nowhere()) {}

const ArmFrames& CarriedMotion::frames_at(double share) {
  const auto found = frames_.find(share);
  if (found != frames_.end()) return found->second;
  return frames_.emplace(share, arm_frames(scene_.cell.arm.arm, stretch_.motion.path.on_chain(share))).first->second;
}

Mover CarriedMotion::mover_of(int body) const {
  const SceneBody& entry = scene_.bodies[static_cast<std::size_t>(body)];
  const Arrangement& arrangement = *stretch_.arrangement;
  Mover mover;
  int frame = entry.frame;
  for (; frame > 0; frame = arrangement.parent[static_cast<std::size_t>(frame)]) {
    const Frame& here = scene_.frames[static_cast<std::size_t>(frame)];
    const auto shifting = std::find_if(stretch_.shifts.begin(), stretch_.shifts.end(),
                                       [&](const Shifting& shift) { return shift.frame == frame; });
    if (shifting != stretch_.shifts.end()) {
      mover.by = Mover::By::shift;
      mover.number = static_cast<int>(shifting - stretch_.shifts.begin());
      break;
    }
    if (here.link > 0 && arm_moves_) {
      mover.by = Mover::By::link;
      mover.number = here.link;
      break;
    }
    if (here.link > 0) break;
    mover.after = arrangement.in_parent[static_cast<std::size_t>(frame)] * mover.after;
  }
  if (frame > 0) {
    const ArmFrames standing = arm_frames(scene_.cell.arm.arm, stretch_.motion.path.start());
    const bool moves = mover.by != Mover::By::nothing;
    const int from = moves ? arrangement.parent[static_cast<std::size_t>(frame)] : frame;
    mover.before = world_pose(scene_, arrangement, standing, from);
  }
  mover.hull.link = mover.by == Mover::By::link ? mover.number : 0;
  const auto corners = entry.solid->box().corners();
  for (std::size_t i = 0; i < corners.size(); ++i) mover.hull.corners_in_link[i] = mover.after * corners[i];
  return mover;
}

Pose CarriedMotion::pose(const Mover& mover, double share) {
  switch (mover.by) {
    case Mover::By::nothing:
      return mover.before * mover.after;
    case Mover::By::link:
      return mover.before * frames_at(share).link_in_base[static_cast<std::size_t>(mover.number)] * mover.after;
    case Mover::By::shift:
      return mover.before * shifted_pose(stretch_.shifts[static_cast<std::size_t>(mover.number)], share) * mover.after;
  }
  return mover.before;
}

namespace {

/// A shifting frame goes straight and turns at a constant rate: the way of the farthest point of a hull in it.
double shift_travel(const Shifting& shift, const CarriedHull& hull, double share) {
  double radius = 0;
  for (const auto& corner : hull.corners_in_link) radius = std::max(radius, corner.norm());
  const double angle = Eigen::Quaterniond(shift.from.linear()).angularDistance(Eigen::Quaterniond(shift.to.linear()));
  return share * ((shift.to.translation() - shift.from.translation()).norm() + angle * radius);
}

}  // namespace

/// On a line the tool's own motion is known: straight, with a turn about the tcp. The chain strays from it at both
/// ends.
double CarriedMotion::tool_travel(const Mover& mover, double from, double to) const {
  const Path& path = stretch_.motion.path;
  if (!path.is_linear() || mover.number != 6) return std::numeric_limits<double>::infinity();
  const Pose tcp_in_link6 = scene_.cell.arm.arm.flange_in_link6 * path.target().tcp_in_flange;
  double radius = 0;
  for (const auto& corner : mover.hull.corners_in_link)
    radius = std::max(radius, (corner - tcp_in_link6.translation()).norm());
  return (to - from) * (path.target().distance_mm() + path.target().angle() * radius) + 2 * path.stray_mm();
}

double CarriedMotion::relative_travel(const Mover& a, const Mover& b, double from, double to) {
  double travel = 0;
  for (const Mover* mover : {&a, &b})
    if (mover->by == Mover::By::shift)
      travel += shift_travel(stretch_.shifts[static_cast<std::size_t>(mover->number)], mover->hull, to - from);
  const int link_a = a.by == Mover::By::link ? a.number : 0;
  const int link_b = b.by == Mover::By::link ? b.number : 0;
  if (link_a == link_b) return travel;
  const Mover& outer = link_a > link_b ? a : b;
  const int inner = std::min(link_a, link_b);
  const double by_joints = motion_bound(scene_.cell.arm.arm, frames_at(0.5 * (from + to)), outer.hull,
                                        stretch_.motion.path.travel(from, to), inner);
  return travel + (inner == 0 ? std::min(by_joints, tool_travel(outer, from, to)) : by_joints);
}

bool CarriedMotion::stands_still(const Mover& a, const Mover& b) const {
  return a.by == b.by && (a.by == Mover::By::nothing || a.number == b.number);
}

}  // namespace cellproof
