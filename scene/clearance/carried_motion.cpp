// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/carried_motion.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

ContentKey key_of(const Arm& arm, const Path& path) {
  KeyWriter writer;
  writer.add(static_cast<std::uint64_t>(arm.convention));
  for (const DhRow& row : arm.rows)
    for (const double number : {row.a, row.alpha, row.d, row.theta}) writer.add(number);
  writer.add(Eigen::MatrixXd(arm.dh_from_values));
  writer.add(arm.flange_in_link6);
  writer.add(path.stray_mm());
  for (const Knot& knot : path.knots()) {
    writer.add(knot.s);
    writer.add(Eigen::MatrixXd(knot.values));
  }
  if (path.is_linear())
    for (const Pose* pose : {&path.target().tcp_in_flange, &path.target().start_in_base, &path.target().end_in_base})
      writer.add(*pose);
  return writer.key();
}

}  // namespace

CarriedMotion::CarriedMotion(const Scene& scene, const Stretch& stretch)
    : scene_(scene),
      stretch_(stretch),
      arm_moves_(!stretch.motion.path.goes_nowhere()),
      arm_and_path_(key_of(scene.cell.arm.arm, stretch.motion.path)) {}

void CarriedMotion::describe(const Mover& mover, KeyWriter& writer) const {
  writer.add(static_cast<std::uint64_t>(mover.by));
  if (mover.by == Mover::By::link) {
    writer.add(static_cast<std::uint64_t>(mover.number));
    writer.add(arm_and_path_);
  }
  if (mover.by == Mover::By::shift) {
    const Shifting& shift = stretch_.shifts[mover.number];
    writer.add(shift.from);
    writer.add(shift.to);
  }
}

const ArmFrames& CarriedMotion::frames_at(double share) const {
  const auto found = frames_.find(share);
  if (found != frames_.end()) return found->second;
  return frames_.emplace(share, arm_frames(scene_.cell.arm.arm, stretch_.motion.path.on_chain(share))).first->second;
}

std::optional<std::size_t> CarriedMotion::shift_of(FrameId frame) const {
  for (std::size_t i = 0; i < stretch_.shifts.size(); ++i)
    if (stretch_.shifts[i].frame == frame) return i;
  return std::nullopt;
}

/// Climbs from a frame to what moves it.
Mover CarriedMotion::mover_of_frame(FrameId frame) const {
  const Arrangement& arrangement = *stretch_.arrangement;
  Mover mover;
  for (; frame > world_frame; frame = arrangement.parent[frame]) {
    const std::size_t link = scene_.frames[frame].link.value_or(0);
    if (const auto shift = shift_of(frame)) {
      mover.by = Mover::By::shift;
      mover.number = *shift;
      break;
    }
    if (link > 0 && arm_moves_) {
      mover.by = Mover::By::link;
      mover.number = link;
      break;
    }
    mover.after = (link > 0 ? frames_at(0).link_in_base[link] : arrangement.in_parent[frame]) * mover.after;
  }
  if (frame <= world_frame) return mover;
  const Mover above = mover_of_frame(arrangement.parent[frame]);
  if (above.by == Mover::By::nothing)
    mover.before = above.after;
  else
    mover.carrier = std::make_shared<const Mover>(above);
  return mover;
}

Mover CarriedMotion::mover_of(BodyId body) const {
  const SceneBody& entry = scene_.bodies[body];
  Mover mover = mover_of_frame(entry.frame);
  mover.hull.link = mover.by == Mover::By::link ? mover.number : 0;
  const auto corners = entry.solid->box().corners();
  for (std::size_t i = 0; i < corners.size(); ++i) mover.hull.corners_in_link[i] = mover.after * corners[i];
  return mover;
}

Pose CarriedMotion::pose(const Mover& mover, double share) const {
  switch (mover.by) {
    case Mover::By::nothing:
      return mover.before * mover.after;
    case Mover::By::link:
      if (on_line(mover)) return mover.before * line_pose_of_link6(share) * mover.after;
      return mover.before * frames_at(share).link_in_base[mover.number] * mover.after;
    case Mover::By::shift:
      return (mover.carrier ? pose(*mover.carrier, share) : mover.before) *
             shifted_pose(stretch_.shifts[mover.number], share) * mover.after;
  }
  return mover.before;
}

namespace {

/// The turn that slerp makes, as axis times angle in the parent's axes.
Vector3d slerp_turn(const Shifting& shift) {
  const Eigen::Quaterniond from(shift.from.linear());
  Eigen::Quaterniond to(shift.to.linear());
  if (from.dot(to) < 0) to.coeffs() = -to.coeffs();
  const Eigen::Quaterniond turn = to * from.conjugate();
  const double sine = turn.vec().norm();
  if (sine == 0) return Vector3d::Zero();
  return 2 * std::atan2(sine, turn.w()) / sine * turn.vec();
}

}  // namespace

/// A shifting frame goes straight and turns at a constant rate: the way of the farthest point of a hull in it, and of
/// the same points with each frame that carries it.
double CarriedMotion::shift_travel(const Mover& shifted, double share) const {
  double radius = 0, travel = 0;
  for (const auto& corner : shifted.hull.corners_in_link) radius = std::max(radius, corner.norm());
  for (const Mover* mover = &shifted; mover; mover = mover->carrier.get()) {
    const Shifting& shift = stretch_.shifts[mover->number];
    travel += share * ((shift.to.translation() - shift.from.translation()).norm() + slerp_turn(shift).norm() * radius);
    if (mover->carrier)
      radius += std::max((mover->carrier->after * shift.from.translation()).norm(),
                         (mover->carrier->after * shift.to.translation()).norm());
  }
  return travel;
}

/// On a line the tool's own motion is known: straight, with a turn about the tcp. The chain strays from it at both
/// ends.
double CarriedMotion::tool_travel(const Mover& mover, double from, double to) const {
  const Path& path = stretch_.motion.path;
  const Pose tcp_in_link6 = scene_.cell.arm.arm.flange_in_link6 * path.target().tcp_in_flange;
  double radius = 0;
  for (const auto& corner : mover.hull.corners_in_link)
    radius = std::max(radius, (corner - tcp_in_link6.translation()).norm());
  return (to - from) * (path.target().distance_mm() + path.target().angle() * radius);
}

double CarriedMotion::relative_travel(const Mover& a, const Mover& b, double from, double to) const {
  double travel = 0;
  for (const Mover* mover : {&a, &b})
    if (mover->by == Mover::By::shift) travel += shift_travel(*mover, to - from);
  const std::size_t link_a = a.by == Mover::By::link ? a.number : 0;
  const std::size_t link_b = b.by == Mover::By::link ? b.number : 0;
  if (link_a == link_b) return travel;
  const Mover& outer = link_a > link_b ? a : b;
  const std::size_t inner = std::min(link_a, link_b);
  if (inner == 0 && on_line(outer)) return travel + tool_travel(outer, from, to);
  if (on_line(outer)) travel += 2 * stretch_.motion.path.stray_mm();  // placed by the line, bounded on the chain
  return travel + motion_bound(scene_.cell.arm.arm, frames_at(0.5 * (from + to)), outer.hull,
                               stretch_.motion.path.travel(from, to), inner);
}

/// What the last link carries on a line is placed by the line itself, not by the chain of knots.
bool CarriedMotion::on_line(const Mover& mover) const {
  return mover.by == Mover::By::link && mover.number == 6 && stretch_.motion.path.is_linear();
}

Pose CarriedMotion::line_pose_of_link6(double share) const {
  const LinearTarget& line = stretch_.motion.path.target();
  return line.at(share) * (scene_.cell.arm.arm.flange_in_link6 * line.tcp_in_flange).inverse();
}

double CarriedMotion::chain_stray(const Mover& a, const Mover& b) const {
  const bool by_chain = (a.by == Mover::By::link && !on_line(a)) || (b.by == Mover::By::link && !on_line(b));
  return by_chain && !stands_still(a, b) ? stretch_.motion.path.stray_mm() : 0;
}

RelativeMotion CarriedMotion::line_motion(const Mover& tool, double from, double to) const {
  const LinearTarget& line = stretch_.motion.path.target();
  const Twist way = (to - from) * line.direction();
  const double middle = 0.5 * (from + to);
  RelativeMotion motion;
  motion.velocity = tool.before.linear() * way.head<3>();
  motion.turning = tool.before.linear() * way.tail<3>();
  motion.about = tool.before * line.at(middle).translation();
  motion.half = 0.5;
  const Pose placed = pose(tool, middle) * tool.after.inverse();
  double radius = 0;
  for (const auto& corner : tool.hull.corners_in_link)
    radius = std::max(radius, (placed * corner - motion.about).norm());
  motion.stray_mm = way.tail<3>().squaredNorm() / 8 * radius;
  return motion;
}

RelativeMotion CarriedMotion::joints_motion(const Mover& outer, std::size_t inner_link, double from, double to) const {
  const Path& path = stretch_.motion.path;
  const Joints start = path.on_chain(from), change = path.on_chain(to) - start;
  Joints off = Joints::Zero();  // of the knots between from the even run
  const auto& knots = path.knots();
  auto knot = std::upper_bound(knots.begin(), knots.end(), from, [](double s, const Knot& k) { return s < k.s; });
  for (; knot != knots.end() && knot->s < to; ++knot)
    off = off.cwiseMax((knot->values - start - (knot->s - from) / (to - from) * change).cwiseAbs());
  const EvenMotion even =
      even_motion(scene_.cell.arm.arm, frames_at(0.5 * (from + to)), outer.hull, change, off, inner_link);
  RelativeMotion motion;
  motion.velocity = outer.before.linear() * even.velocity;
  motion.turning = outer.before.linear() * even.turning;
  motion.about = outer.before * even.about;
  motion.half = 0.5;
  motion.stray_mm = even.stray_mm + (on_line(outer) ? 2 * path.stray_mm() : 0);
  return motion;
}

RelativeMotion CarriedMotion::shift_motion(const Mover& shifted, double from, double to) const {
  const Shifting& shift = stretch_.shifts[shifted.number];
  const double share = to - from;
  RelativeMotion motion;
  motion.velocity = share * (shifted.before.linear() * (shift.to.translation() - shift.from.translation()));
  motion.turning = share * (shifted.before.linear() * slerp_turn(shift));
  motion.about = shifted.before * shifted_pose(shift, 0.5 * (from + to)).translation();
  motion.half = 0.5;
  double radius = 0;
  for (const auto& corner : shifted.hull.corners_in_link) radius = std::max(radius, corner.norm());
  motion.stray_mm = motion.turning.squaredNorm() / 8 * radius;
  return motion;
}

CarriedMotion::Against CarriedMotion::motion_against(const Mover& a, const Mover& b, double from, double to) const {
  const bool shift_a = a.by == Mover::By::shift, shift_b = b.by == Mover::By::shift;
  if ((shift_a && shift_b) || a.carrier || b.carrier) {  // two shifts at once: any direction
    RelativeMotion motion;
    motion.stray_mm = relative_travel(a, b, from, to) / 2;
    return {true, motion};
  }
  if (shift_a || shift_b) return {shift_a, shift_motion(shift_a ? a : b, from, to)};
  const std::size_t link_a = a.by == Mover::By::link ? a.number : 0, link_b = b.by == Mover::By::link ? b.number : 0;
  const bool a_is_outer = link_a > link_b;
  const Mover& outer = a_is_outer ? a : b;
  const std::size_t inner = std::min(link_a, link_b);
  return {a_is_outer,
          inner == 0 && on_line(outer) ? line_motion(outer, from, to) : joints_motion(outer, inner, from, to)};
}

double CarriedMotion::reach(const Mover& mover) const {
  double hull = 0, moved = 0;
  for (const auto& corner : mover.hull.corners_in_link) hull = std::max(hull, corner.norm());
  const double within = std::max(hull, mover.after.translation().norm());
  if (mover.by == Mover::By::link) {
    const Arm& arm = scene_.cell.arm.arm;
    for (const DhRow& row : arm.rows) moved += std::abs(row.a) + std::abs(row.d);
    moved += arm.flange_in_link6.translation().norm();
    if (on_line(mover)) moved += 2 * stretch_.motion.path.target().tcp_in_flange.translation().norm();
  }
  if (mover.by == Mover::By::shift) {
    const Shifting& shift = stretch_.shifts[mover.number];
    moved = std::max(shift.from.translation().norm(), shift.to.translation().norm());
  }
  return within + moved + (mover.carrier ? reach(*mover.carrier) : mover.before.translation().norm());
}

bool CarriedMotion::stands_still(const Mover& a, const Mover& b) const {
  return a.by == b.by && (a.by == Mover::By::nothing || a.number == b.number);
}

}  // namespace cellproof
