// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/checked_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <tuple>

#include "checks/pair_rules.hpp"
#include "scene/fingers.hpp"

namespace cellproof {

namespace {

/// The bodies of a stretch, sorted by what they do in it.
class StretchBodies {
 public:
  StretchBodies(const Scene& scene, const Stretch& stretch) : scene_(scene), stretch_(stretch) {
    const std::string& on = scene.cell.arm.base.on;
    for (const BodyId i : ids_of(scene.bodies))
      if (scene.bodies[i].name == on) stand_ = i;
  }

  const SceneBody& body(BodyId i) const { return scene_.bodies[i]; }
  bool present(BodyId i) const { return stretch_.arrangement->present[i] != 0; }
  bool held(BodyId i) const {
    return stretch_.held_part && body(i).owner_part == stretch_.held_part && !body(i).copy_of_seat;
  }
  bool of_arm(BodyId i) const { return body(i).kind == BodyKind::arm; }
  bool of_tool(BodyId i) const { return body(i).kind == BodyKind::end_effector; }
  bool carried(BodyId i) const { return of_arm(i) || of_tool(i) || held(i); }
  bool of_part(BodyId i) const { return bool(body(i).owner_part); }
  bool shifts(BodyId i) const { return bool(shift_of(i)); }
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
    if (of_arm(a) && of_arm(b)) return body(a).link == body(b).link || next_to(a, b) || next_to(b, a);
    if (of_arm(a) && of_tool(b)) return body(a).link == 6;
    if (of_tool(a) && of_arm(b)) return body(b).link == 6;
    if ((of_arm(a) && body(a).link == 0 && b == stand_) || (of_arm(b) && body(b).link == 0 && a == stand_)) return true;
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
    const auto& touch = scene_.cell.tcps[tcp].touch;
    return !touch || std::find(touch->begin(), touch->end(), body(i).name) != touch->end();
  }

  /// True for the part that is placed or picked and a finger of the hold that takes it or lets it go.
  bool meets_in_hold(BodyId a, BodyId b) const {
    if (!stretch_.contact || !stretch_.contact->hold_jaw) return false;
    return (of_visit(a) && hold_finger(b)) || (of_visit(b) && hold_finger(a));
  }
  /// The same of a finger that opens: one that does not is as good as the seat's own body.
  bool opens_for(BodyId a, BodyId b) const { return opens(of_visit(a) ? b : a); }
  /// A finger of that hold on its way, and what stands beside it but does not carry it.
  bool works_beside(BodyId a, BodyId b) const {
    if (!stretch_.contact || !stretch_.contact->hold_jaw || shift_of(a) == shift_of(b)) return false;
    return (shifts(a) && opens(a) && !carries_hold_finger(b, a)) ||
           (shifts(b) && opens(b) && !carries_hold_finger(a, b));
  }

  /// True for a pair that meets on purpose near the seat of the pick or place under way.
  bool meets_at_seat(BodyId a, BodyId b) const {
    if (!stretch_.contact) return false;
    const SeatContact& contact = *stretch_.contact;
    if (!of_visit(a) && !of_visit(b)) return false;
    const BodyId other = of_visit(a) ? b : a;
    return other == contact.seat_body || (of_tool(other) && touched_by(contact.tcp, other));
  }

 private:
  /// Of two bodies of the arm.
  bool next_to(BodyId nearer, BodyId farther) const { return *body(nearer).link + 1 == *body(farther).link; }
  /// A body of the part that is picked or placed. Asks for a contact.
  bool of_visit(BodyId i) const { return body(i).owner_part == stretch_.contact->part && !body(i).copy_of_seat; }
  FingerId hold_finger(BodyId i) const {
    return finger_of(scene_, *stretch_.arrangement, stretch_.contact->hold_jaw, i);
  }
  bool opens(BodyId i) const {
    const FingerId finger = hold_finger(i);
    const Jaw& jaw = scene_.cell.jaws[stretch_.contact->hold_jaw];
    return finger && !jaw.fingers[finger].open.isZero(0);
  }
  bool carries_hold_finger(BodyId carrier, BodyId finger) const {
    const Arrangement& now = *stretch_.arrangement;
    const std::string& jaw = scene_.cell.jaws[stretch_.contact->hold_jaw].name;
    return rides_on(now, body(finger).frame, body(carrier).frame) ||
           rides_on(now, scene_.frame_named(jaw), body(carrier).frame);
  }

  /// The body that a part lying in a seat rests on.
  BodyId seat_body_of(BodyId part_body) const {
    for (FrameId f = stretch_.arrangement->parent[body(part_body).frame]; f > world_frame;
         f = stretch_.arrangement->parent[f])
      for (const BodyId i : ids_of(scene_.bodies))
        if (scene_.bodies[i].frame == f && !scene_.bodies[i].owner_part) return i;
    return {};
  }

  const Scene& scene_;
  const Stretch& stretch_;
  BodyId stand_;
};

/// Over a stretch at a seat: where the tcp, on its line, is further from its place at the seat than `seat_zone`, and
/// where it is not. Of what is done at the seat itself, neither.
struct ZoneSpans {
  std::vector<Span> outside, inside;
};
ZoneSpans zone_spans(const Scene& scene, const Stretch& stretch) {
  const Path& path = stretch.motion.path;
  const double zone = scene.cell.rules.seat_zone;
  const Pose base = world_pose(scene, *stretch.arrangement, ArmFrames{}, scene.base_frame);
  if (!path.is_linear()) return {};  // gripping and letting go happen at the seat
  const Vector3d start = base * path.target().start_in_base.translation() - stretch.contact->tcp_at_seat;
  const Vector3d way =
      base.linear() * (path.target().end_in_base.translation() - path.target().start_in_base.translation());
  const ZoneSpans all_outside{{{0, 1}}, {}};
  // |start + s way| = zone
  const double a = way.squaredNorm(), b = start.dot(way), c = start.squaredNorm() - zone * zone;
  if (a == 0) return c > 0 ? all_outside : ZoneSpans{{}, {{0, 1}}};
  const double root = b * b - a * c;
  if (root <= 0) return all_outside;
  const double enter = (-b - std::sqrt(root)) / a, leave = (-b + std::sqrt(root)) / a;
  if (enter >= 1 || leave <= 0) return all_outside;
  ZoneSpans spans{{}, {{std::max(0.0, enter), std::min(1.0, leave)}}};
  if (enter > 0) spans.outside.push_back({0, enter});
  if (leave < 1) spans.outside.push_back({leave, 1});
  return spans;
}

/// Calls look(a, b) for every two bodies of the stretch that may be asked about.
template <class Look>
void each_pair(const Scene& scene, const StretchBodies& bodies, const Look& look) {
  std::vector<BodyId> there = bodies_in_order(scene);
  std::erase_if(there, [&](BodyId body) { return !bodies.present(body); });
  for (std::size_t i = 0; i < there.size(); ++i)
    for (std::size_t j = i + 1; j < there.size(); ++j)
      if (!bodies.never_checked(there[i], there[j])) look(there[i], there[j]);
}

}  // namespace

std::vector<BodyId> bodies_in_order(const Scene& scene) {
  const auto key = [&](BodyId i) {
    const SceneBody& body = scene.bodies[i];
    return std::tuple(body.kind, body.link, std::string_view(body.name));
  };
  std::vector<BodyId> order;
  for (const BodyId id : ids_of(scene.bodies)) order.push_back(id);
  std::ranges::stable_sort(order, {}, key);
  return order;
}

std::vector<PairAsked> checked_pairs(const Scene& scene, const Stretch& stretch) {
  const StretchBodies bodies(scene, stretch);
  const ZoneSpans zone = stretch.contact ? zone_spans(scene, stretch) : ZoneSpans{};
  std::vector<PairAsked> pairs;
  const auto ask = [&](BodyId a, BodyId b, double least_mm, const std::vector<Span>& spans) {
    if (!spans.empty()) pairs.push_back({a, b, std::max(least_mm, touching_mm), spans});
  };
  each_pair(scene, bodies, [&](BodyId a, BodyId b) {
    const bool among_surroundings = bodies.surroundings_only(a, b);
    if (!among_surroundings && !bodies.counts(a, b)) return;
    const PairRule rule = rule_of_pair(scene, a, b);
    if (!rule.least_mm) return;
    if (among_surroundings && !rule.named) {
      if (bodies.works_beside(a, b)) ask(a, b, 0, {{0, 1}});
      return;
    }
    const bool in_hold = bodies.meets_in_hold(a, b);
    ask(a, b, *rule.least_mm, in_hold || bodies.meets_at_seat(a, b) ? zone.outside : std::vector<Span>{{0, 1}});
    if (in_hold && bodies.opens_for(a, b)) ask(a, b, 0, zone.inside);
  });
  return pairs;
}

std::vector<SparedPair> spared_pairs(const Scene& scene, const Stretch& stretch) {
  const StretchBodies bodies(scene, stretch);
  std::vector<SparedPair> pairs;
  each_pair(scene, bodies, [&](BodyId a, BodyId b) {
    const bool among_surroundings = bodies.surroundings_only(a, b);
    const bool at_seat = bodies.meets_at_seat(a, b) || bodies.meets_in_hold(a, b);
    if (among_surroundings ? !bodies.works_beside(a, b) : !at_seat && !bodies.counts(a, b)) return;
    const bool freed = !rule_of_pair(scene, a, b).least_mm;
    if (freed || at_seat) pairs.push_back({a, b, freed});
  });
  return pairs;
}

}  // namespace cellproof
