// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/checked_pairs.hpp"

#include <algorithm>
#include <cmath>

#include "checks/pair_rules.hpp"

namespace cellproof {

namespace {

constexpr double touching_mm = 1e-4;  // touching fails under any rule, one of 0 included

bool are_neighbours(LinkId a, LinkId b) {
  return std::max(a, b).index() - std::min(a, b).index() <= 1;
}

/// The bodies of a stretch, sorted by what they do in it.
class StretchBodies {
 public:
  StretchBodies(const Scene& scene, const Stretch& stretch) : scene_(scene), stretch_(stretch) {
    const std::string& on = scene.cell.arm.base.on;
    for (const BodyId body : ids_of(scene.bodies))
      if (scene[body].name == on) stand_ = body;
  }

  const SceneBody& body(BodyId i) const { return scene_[i]; }
  bool present(BodyId i) const { return stretch_.arrangement->present[i] != 0; }
  bool held(BodyId i) const { return body(i).is_of(stretch_.held_part); }
  bool of_arm(BodyId i) const { return body(i).kind == BodyKind::arm; }
  bool of_tool(BodyId i) const { return body(i).kind == BodyKind::end_effector; }
  bool carried(BodyId i) const { return of_arm(i) || of_tool(i) || held(i); }
  bool of_part(BodyId i) const { return body(i).owner_part.has_value(); }
  bool shifts(BodyId i) const { return shift_of(i).has_value(); }
  /// The shifting frame that a body rides on, if any: bodies with the same one do not move against each other.
  FrameId shift_of(BodyId i) const {
    for (FrameId f = body(i).frame; f > world_frame; f = stretch_.arrangement->parent[f])
      for (const auto& shift : stretch_.shifts)
        if (shift.frame == f) return f;
    return {};
  }

  /// Fixed to one another, neighbours in the chain, or not under the contract's eye.
  bool never_checked(BodyId a, BodyId b) const {
    if (held(a) && held(b)) return true;
    if (of_tool(a) && of_tool(b)) return !shifts(a) && !shifts(b);
    if (of_arm(a) && of_arm(b)) return are_neighbours(body(a).link, body(b).link);
    if (of_arm(a) && of_tool(b)) return body(a).link == last_link;
    if (of_tool(a) && of_arm(b)) return body(b).link == last_link;
    if ((of_arm(a) && body(a).link == base_link && b == stand_) ||
        (of_arm(b) && body(b).link == base_link && a == stand_))
      return true;
    if (held(a) || held(b)) return held(a) ? touches(b) : touches(a);
    return false;
  }

  /// A pair that is under the rule at all: something carried in it, or something that shifts against arm, tool or part.
  bool counts(BodyId a, BodyId b) const {
    if (carried(a) || carried(b)) return true;
    const FrameId shift_a = shift_of(a), shift_b = shift_of(b);
    if (shift_a == shift_b) return false;
    return (shift_a && of_part(b) && seat_body_of(b) != a) || (shift_b && of_part(a) && seat_body_of(a) != b);
  }

  bool surroundings_only(BodyId a, BodyId b) const {
    return body(a).kind == BodyKind::surroundings && body(b).kind == BodyKind::surroundings;
  }

  /// A held part is not checked against the bodies that its tool touches it with.
  bool touches(BodyId i) const { return stretch_.holding_tcp && of_tool(i) && touched_by(stretch_.holding_tcp, i); }
  bool touched_by(TcpId tcp, BodyId i) const {
    const auto& touch = scene_.cell[tcp].touch;
    return !touch || std::find(touch->begin(), touch->end(), body(i).name) != touch->end();
  }

  /// True for a pair that meets on purpose near the seat of the pick or place under way.
  bool meets_at_seat(BodyId a, BodyId b) const {
    if (!stretch_.contact) return false;
    const SeatContact& contact = *stretch_.contact;
    const auto of_contact = [&](BodyId i) { return body(i).is_of(contact.part); };
    if (!of_contact(a) && !of_contact(b)) return false;
    const BodyId other = of_contact(a) ? b : a;
    return other == contact.seat_body || (of_tool(other) && touched_by(contact.tcp, other));
  }

 private:
  /// The body that a part lying in a seat rests on.
  BodyId seat_body_of(BodyId part_body) const {
    for (FrameId f = stretch_.arrangement->parent[body(part_body).frame]; f > world_frame;
         f = stretch_.arrangement->parent[f])
      for (const BodyId i : ids_of(scene_.bodies))
        if (body(i).frame == f && !body(i).owner_part) return i;
    return {};
  }

  const Scene& scene_;
  const Stretch& stretch_;
  BodyId stand_;
};

/// The spans of the path outside the seat zone: while the tcp, on its line, is further from its place at the seat.
std::vector<Span> spans_outside_zone(const Scene& scene, const Stretch& stretch) {
  const Path& path = stretch.motion.path;
  const double zone = scene.cell.rules.seat_zone;
  const Pose base = world_pose(scene, *stretch.arrangement, ArmFrames{}, scene.base_frame);
  if (!path.is_linear()) return {};  // gripping and letting go happen at the seat
  const Vector3d start = base * path.target().start_in_base.translation() - stretch.contact->tcp_at_seat;
  const Vector3d way =
      base.linear() * (path.target().end_in_base.translation() - path.target().start_in_base.translation());
  // |start + s way| = zone
  const double a = way.squaredNorm(), b = start.dot(way), c = start.squaredNorm() - zone * zone;
  if (a == 0) return c > 0 ? std::vector<Span>{{0, 1}} : std::vector<Span>{};
  const double root = b * b - a * c;
  if (root <= 0) return {{0, 1}};
  const double enter = (-b - std::sqrt(root)) / a, leave = (-b + std::sqrt(root)) / a;
  if (enter >= 1 || leave <= 0) return {{0, 1}};
  std::vector<Span> spans;
  if (enter > 0) spans.push_back({0, enter});
  if (leave < 1) spans.push_back({leave, 1});
  return spans;
}

}  // namespace

std::vector<PairAsked> checked_pairs(const Scene& scene, const Stretch& stretch) {
  const StretchBodies bodies(scene, stretch);
  const std::vector<Span> outside = stretch.contact ? spans_outside_zone(scene, stretch) : std::vector<Span>{};
  std::vector<PairAsked> pairs;
  for (const BodyId a : ids_of(scene.bodies)) {
    if (!bodies.present(a)) continue;
    for (const BodyId b : ids_after(a, scene.bodies)) {
      if (!bodies.present(b) || bodies.never_checked(a, b)) continue;
      const bool among_surroundings = bodies.surroundings_only(a, b);
      if (!among_surroundings && !bodies.counts(a, b)) continue;
      const PairRule rule = rule_of_pair(scene, a, b);
      if (!rule.least_mm || (among_surroundings && !rule.named)) continue;
      PairAsked pair{a, b, std::max(*rule.least_mm, touching_mm), {{0, 1}}};
      if (bodies.meets_at_seat(a, b)) pair.spans = outside;
      if (!pair.spans.empty()) pairs.push_back(std::move(pair));
    }
  }
  return pairs;
}

std::vector<SparedPair> spared_pairs(const Scene& scene, const Stretch& stretch) {
  const StretchBodies bodies(scene, stretch);
  std::vector<SparedPair> pairs;
  for (const BodyId a : ids_of(scene.bodies)) {
    if (!bodies.present(a)) continue;
    for (const BodyId b : ids_after(a, scene.bodies)) {
      if (!bodies.present(b) || bodies.never_checked(a, b) || bodies.surroundings_only(a, b)) continue;
      const bool at_seat = bodies.meets_at_seat(a, b);
      if (!at_seat && !bodies.counts(a, b)) continue;
      const bool freed = !rule_of_pair(scene, a, b).least_mm;
      if (freed || at_seat) pairs.push_back({a, b, freed});
    }
  }
  return pairs;
}

}  // namespace cellproof
