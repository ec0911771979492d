// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/way_out.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

namespace {

constexpr double spare_mm = 0.01;  // over what is asked: rounding, and the chain of knots beside the ideal path
constexpr int most_tries = 400;    // of distances along one axis
constexpr int most_stretches = 6;  // measured whole

/// What a step brings where, frames both.
struct Aim {
  FrameId tcp, at;
};

const PoseTarget* pose_target(const Action& action) {
  const MoveTarget* to = nullptr;
  if (const auto* move = std::get_if<MoveStep>(&action)) to = &move->to;
  if (const auto* look = std::get_if<LookStep>(&action)) to = look->to ? &*look->to : nullptr;
  return to ? std::get_if<PoseTarget>(to) : nullptr;
}

/// A pick's joint move goes to the seat as much as its lines do.
Aim aim_of(const Scene& scene, const CycleRun& run, const Stretch& stretch) {
  for (const auto& other : run.stretches)
    if (other.step_index == stretch.step_index && other.contact)
      return {other.contact->tcp ? scene.frame_of(other.contact->tcp) : FrameId{},
              other.contact->seat_body ? scene.bodies[other.contact->seat_body].frame : FrameId{}};
  const Action& action = scene.cell.cycle->steps[stretch.step_index].action;
  if (const PoseTarget* target = pose_target(action))
    return {scene.frame_named(target->tcp), scene.frame_named(target->frame)};
  return {};
}

/// It touches what the arm takes: where the grasp has it, it has to stay.
bool takes_parts(const Scene& scene, const SceneBody& body) {
  return std::ranges::any_of(
      scene.cell.tcps, [&](const Tcp& tcp) { return tcp.touch && std::ranges::count(*tcp.touch, body.name) > 0; });
}

/// Moves of the body change the pair's distance: neither the other body nor the arm's way follows it.
bool can_be_set_elsewhere(const Scene& scene, const CycleRun& run, const Stretch& stretch, BodyId body, BodyId other) {
  const SceneBody& mine = scene.bodies[body];
  const auto follows = [&](FrameId frame) { return rides_on(*stretch.arrangement, frame, mine.frame); };
  if (mine.owner_part || follows(scene.bodies[other].frame)) return false;
  const Aim aim = aim_of(scene, run, stretch);
  if (mine.kind == BodyKind::surroundings) return !follows(aim.at) && !follows(scene.base_frame);
  return mine.kind == BodyKind::end_effector && scene.bodies[other].kind != BodyKind::end_effector &&
         !follows(aim.tcp) && !takes_parts(scene, mine);
}

/// The body to move: surroundings, then what the flange carries, then what is led elsewhere.
WayOut body_to_move(const Scene& scene, const CycleRun& run, const Stretch& stretch, BodyId a, BodyId b) {
  WayOut way;
  for (const BodyKind kind : {BodyKind::surroundings, BodyKind::end_effector})
    for (const auto& [body, other] : {std::pair{a, b}, {b, a}})
      if (scene.bodies[body].kind == kind && can_be_set_elsewhere(scene, run, stretch, body, other)) {
        way.body = body;
        way.by_hand = true;
        way.in_flange = kind == BodyKind::end_effector;
        return way;
      }
  way.body = scene.bodies[a].kind == BodyKind::surroundings ? b : a;
  return way;
}

/// A pair at one instant, the one that moves first.
struct TwoBodies {
  const Solid &mover, &other;
  Pose mover_in_world, other_in_world;
  Instant at;
};

TwoBodies bodies_at(const Scene& scene, const Stretch& stretch, BodyId mover, BodyId other, double share) {
  Instant at = instant_at(scene, stretch, time_at(stretch, share));
  const SceneBody &first = scene.bodies[mover], &second = scene.bodies[other];
  return {*first.solid, *second.solid, at.pose_of(first), at.pose_of(second), std::move(at)};
}

/// How far a body has to go along a direction until all of it has passed the other, by their shadows.
double past(const TwoBodies& bodies, const Vector3d& direction) {
  double own = std::numeric_limits<double>::infinity(), others = -own;
  for (const auto& vertex : bodies.mover.mesh().vertices)
    own = std::min(own, direction.dot(bodies.mover_in_world * vertex));
  for (const auto& vertex : bodies.other.mesh().vertices)
    others = std::max(others, direction.dot(bodies.other_in_world * vertex));
  return std::max(0.0, others - own);
}

/// The least shift along a direction after which the two are `needed` apart, or `limit` if that is less. A shift
/// changes a distance by no more than its length, so that steps of what is short never pass the first place that will
/// do.
double shift_along(const TwoBodies& bodies, const Vector3d& direction, double needed, double limit) {
  double shift = 0;
  std::optional<TrianglePair> last;
  for (int tries = 0; tries < most_tries && shift < limit; ++tries) {
    const Pose moved = Eigen::Translation3d(shift * direction) * bodies.mover_in_world;
    const Nearest now = nearest(bodies.mover, moved, bodies.other, bodies.other_in_world, needed, last);
    last = now.triangles;
    const bool inside = now.distance > 0 && contains_part_of(bodies.mover, moved, bodies.other, bodies.other_in_world);
    if (!now.within_cap && !inside) return shift;
    shift += std::max(1e-3, needed - (inside ? 0 : now.distance));
  }
  return std::min(limit, shift < limit ? past(bodies, direction) + needed : limit);
}

double rounded_up(double mm) {
  return std::ceil(mm * 10) / 10;
}

Eigen::Matrix3d axes_of(const Scene& scene, const WayOut& way, const TwoBodies& bodies) {
  if (!way.in_flange) return Eigen::Matrix3d::Identity();
  return bodies.at.frame_in_world[scene.flange_frame].linear();
}

/// Tries the six ways, those along the line of the nearest points first: the others then end early.
void find_shift(const Scene& scene, const TwoBodies& bodies, double needed, const PairClearance& pair, bool mover_is_a,
                WayOut& way) {
  const Eigen::Matrix3d axes = axes_of(scene, way, bodies);
  Vector3d apart = mover_is_a ? pair.points[0] - pair.points[1] : pair.points[1] - pair.points[0];
  const auto middle = [](const Solid& solid, const Pose& pose) {
    return Vector3d(pose * ((solid.box().low + solid.box().high) / 2));
  };
  if (!(apart.norm() > 1e-9))
    apart = middle(bodies.mover, bodies.mover_in_world) - middle(bodies.other, bodies.other_in_world);
  std::array<std::pair<int, int>, 6> ways;
  for (int i = 0; i < 6; ++i) entry(ways, i) = {i / 2, i % 2 ? -1 : 1};
  std::stable_sort(ways.begin(), ways.end(), [&](const auto& a, const auto& b) {
    return a.second * axes.col(a.first).dot(apart) > b.second * axes.col(b.first).dot(apart);
  });
  double least = std::numeric_limits<double>::infinity();
  for (const auto& [axis, sign] : ways) {
    const double shift = shift_along(bodies, sign * axes.col(axis), needed, least);
    if (!(shift < least)) continue;
    least = shift;
    way.axis = axis;
    way.sign = sign;
  }
  way.shift_mm = rounded_up(least);
}

/// The stretch with one frame set elsewhere by a shift in its parent's axes.
Stretch with_frame_moved(const Stretch& stretch, FrameId frame, const Vector3d& shift) {
  Stretch moved = stretch;
  Arrangement arrangement = *stretch.arrangement;
  arrangement.in_parent[frame].pretranslate(shift);
  moved.arrangement = std::make_shared<const Arrangement>(std::move(arrangement));
  for (auto& shifting : moved.shifts)
    if (shifting.frame == frame) {
      shifting.from.pretranslate(shift);
      shifting.to.pretranslate(shift);
    }
  return moved;
}

/// Whether what carries a frame turns against the axes of the shift during the stretch.
bool carrier_shifts(const Stretch& stretch, FrameId frame) {
  return std::any_of(stretch.shifts.begin(), stretch.shifts.end(), [&](const Shifting& shifting) {
    return shifting.frame != frame && rides_on(*stretch.arrangement, frame, shifting.frame);
  });
}

/// Makes the shift long enough for the whole stretch, if a few steps of what is short do.
void stretch_out(const Scene& scene, const Stretch& stretch, const PairAsked& asked, const TwoBodies& bodies,
                 const std::stop_token& stop, WayOut& way) {
  const FrameId frame = scene.bodies[way.body].frame;
  if (!way.by_hand || carrier_shifts(stretch, frame)) return;
  const FrameId parent = stretch.arrangement->parent[frame];
  const Vector3d direction =
      bodies.at.frame_in_world[parent].linear().transpose() * (way.sign * axes_of(scene, way, bodies).col(way.axis));
  double shift = way.shift_mm;
  for (int i = 0; i < most_stretches && !stop.stop_requested(); ++i) {
    const Stretch moved = with_frame_moved(stretch, frame, shift * direction);
    const PairClearance pair = measure_clearance(scene, moved, {asked}, stop).pairs.front();
    if (pair.lower_mm >= asked.least_mm) {
      way.shift_mm = shift;
      way.all_along = true;
      return;
    }
    shift = rounded_up(shift + std::max(spare_mm, asked.least_mm - pair.lower_mm));
  }
}

}  // namespace

WayOut way_out(const Scene& scene, const CycleRun& run, const Stretch& stretch, const PairAsked& asked,
               const PairClearance& pair, const std::stop_token& stop) {
  WayOut way = body_to_move(scene, run, stretch, asked.a, asked.b);
  const bool mover_is_a = way.body == asked.a;
  const TwoBodies bodies =
      bodies_at(scene, stretch, way.body, mover_is_a ? asked.b : asked.a, std::isnan(pair.share) ? 0 : pair.share);
  const double needed =
      asked.least_mm + bodies.mover.mesh().deviation.outside + bodies.other.mesh().deviation.outside + spare_mm;
  find_shift(scene, bodies, needed, pair, mover_is_a, way);
  stretch_out(scene, stretch, asked, bodies, stop, way);
  return way;
}

std::vector<WayOut> ways_out(const Scene& scene, const CycleRun& run, const Stretch& stretch,
                             const std::vector<PairAsked>& asked, const StretchClearance& clearance,
                             const std::stop_token& stop) {
  std::vector<WayOut> ways;
  for (std::size_t i = 0; i < asked.size() && !stop.stop_requested(); ++i)
    if (clearance.pairs[i].lower_mm < asked[i].least_mm)
      ways.push_back(way_out(scene, run, stretch, asked[i], clearance.pairs[i], stop));
  return ways;
}

std::string shift_text(const WayOut& way) {
  return fmt::format("{:.1f} mm along {} {}{}", way.shift_mm, way.in_flange ? "flange" : "world",
                     way.sign < 0 ? '-' : '+', "xyz"[way.axis]);
}

}  // namespace cellproof
