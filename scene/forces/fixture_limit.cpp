// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/fixture_limit.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>

#include "scene/forces/three_rests.hpp"
#include "scene/forces/two_rests.hpp"

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double nearly = 1 - 1e-7, barely = 1e-7;

LoadBody weight_body(const FixtureCase& fixture) {
  LoadBody body;
  body.corners.resize(2);
  body.corners[1].wrench = fixture.weight;
  body.edges.push_back({0, 1});
  return body;
}

using Places = std::vector<Vector2d> (*)(const CutRange&);

std::vector<LoadBody> bodies_at(const FixtureCase& fixture, Places places) {
  if (fixture.weight_only) return {weight_body(fixture)};
  std::vector<LoadBody> bodies;
  for (const Vector2d& place : places(fixture.cut)) bodies.push_back(loads_at(fixture.cut, place));
  return bodies;
}

/// What acts along the border of `over`: at places of it all that may act there, and from corner to corner what each
/// load at a corner becomes, as a load may come to lie over a line between two places that are near each other.
std::vector<LoadBody> border_bodies(const FixtureCase& fixture) {
  std::vector<LoadBody> bodies = bodies_at(fixture, border_places);
  if (fixture.weight_only) return bodies;
  const std::vector<Vector2d> corners = corner_places(fixture.cut);
  for (std::size_t i = 0; corners.size() > 1 && i < corners.size(); ++i)
    bodies.push_back(loads_between(fixture.cut, corners[i], corners[(i + 1) % corners.size()]));
  return bodies;
}

/// Each rest once, as two at one place are one, and in an order of their own, so that the file's changes no figure.
std::vector<std::size_t> told_once(const std::vector<Vector2d>& rests) {
  double size = 0;
  std::vector<std::size_t> order, kept;
  for (std::size_t i = 0; i < rests.size(); ++i) {
    size = std::max(size, (rests[i] - rests.front()).norm());
    order.push_back(i);
  }
  std::ranges::stable_sort(order, {}, [&](std::size_t i) { return std::pair(rests[i].x(), rests[i].y()); });
  for (const std::size_t i : order)
    if (std::ranges::none_of(kept, [&](std::size_t other) { return (rests[i] - rests[other]).norm() <= 1e-7 * size; }))
      kept.push_back(i);
  return kept;
}

class Search {
 public:
  explicit Search(const FixtureCase& fixture)
      : fixture_(fixture), rests_(told_once(fixture.contacts.rests)), corners_(bodies_at(fixture, corner_places)) {}

  FixtureLimit run() {
    limit_.factor = infinity;
    limit_.reactions.assign(fixture_.contacts.rests.size(), Vector3d::Zero());
    look_at_all();
    limit_.best = limit_.factor;
    if (rests_.size() > 3 && limit_.factor > 0) look_at_some();
    return limit_;
  }

 private:
  const Vector2d& rest(std::size_t i) const { return fixture_.contacts.rests[rests_[i]]; }

  Contacts contacts_on(const std::vector<std::size_t>& some) const {
    Contacts contacts = fixture_.contacts;
    contacts.rests.clear();
    for (const std::size_t i : some) contacts.rests.push_back(rest(i));
    return contacts;
  }

  void put(const std::vector<std::size_t>& on, const HeldMultiple& held, const CutLoad& load) {
    limit_.factor = std::max(0.0, held.factor);
    limit_.worst = load;
    limit_.reactions.assign(fixture_.contacts.rests.size(), Vector3d::Zero());
    for (std::size_t i = 0; i < held.reactions.size(); ++i) limit_.reactions[rests_[on[i]]] = held.reactions[i];
    const Contacts contacts = contacts_on(on);
    limit_.gives = held.reactions.empty()
                       ? what_fails_at_rest(contacts, fixture_.constant + limit_.factor * load.wrench)
                       : what_gives(contacts, fixture_.constant, held);
  }

  /// Asked before all rests together are, as that is quick.
  std::vector<ThreeRests> some_threes() const {
    constexpr std::size_t most = 20;
    std::vector<ThreeRests> threes;
    for (std::size_t i = 2; i < rests_.size(); ++i)
      for (std::size_t j = 1; j < i; ++j)
        for (std::size_t k = 0; k < j && threes.size() < most; ++k)
          threes.emplace_back(rest(i), rest(j), rest(k), fixture_.contacts.friction);
    return threes;
  }

  /// Any share of the load among all rests.
  void look_at_all() {
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < rests_.size(); ++i) all.push_back(i);
    const HeldLoads held(contacts_on(all), fixture_.constant);
    if (!held.holds_constant()) {
      limit_.factor = 0;
      limit_.gives = what_fails_at_rest(contacts_on(all), fixture_.constant);
      return;
    }
    const std::vector<ThreeRests> threes = some_threes();
    const CutLoad* worst = nullptr;
    for (const LoadBody& body : corners_)
      for (const CutLoad& load : body.corners) {
        // What three hold, with no friction at the others, all hold.
        if (std::isfinite(limit_.factor) && std::ranges::any_of(threes, [&](const ThreeRests& three) {
              return three.hold_easily(fixture_.constant + limit_.factor * load.wrench);
            }))
          continue;
        const double factor = held.greatest(load.wrench, limit_.factor).factor;
        if (!(factor < limit_.factor)) continue;
        limit_.factor = factor;
        worst = &load;
      }
    if (worst) put(all, held.greatest(worst->wrench), *worst);
  }

  /// Threes and twos. Where all together hold any multiple, one that leaves nothing of the constant load is asked.
  void look_at_some() {
    const double ceiling = without_bound();
    const bool bounded = std::isfinite(limit_.factor);
    if (!bounded && !(ceiling > 0)) return;
    if (!bounded) limit_.factor = ceiling;
    look_at_pairs();
    look_at_threes();
    if (!bounded && limit_.factor == ceiling) limit_.factor = infinity;
  }

  double without_bound() const {
    double greatest = 0;
    for (const LoadBody& body : corners_)
      for (const CutLoad& load : body.corners) greatest = std::max(greatest, load.wrench.head<3>().norm());
    return greatest > 0 ? 1e4 * fixture_.constant.head<3>().norm() / greatest : 0;
  }

  void look_at_threes() {
    for (std::size_t i = 0; i < rests_.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        for (std::size_t k = 0; k < j; ++k) {
          const ThreeRests three(rest(i), rest(j), rest(k), fixture_.contacts.friction);
          if (three.make_a_plane()) look_at_three(three, {i, j, k});
        }
  }

  void look_at_three(const ThreeRests& three, const std::vector<std::size_t>& on) {
    for (const LoadBody& body : corners_)
      for (const CutLoad& load : body.corners) {
        const auto carried = three.carried(fixture_.constant, load.wrench);
        if (!carried || !(carried->first < limit_.factor)) continue;
        // Where it begins to carry the load it stands on two of its rests: that is asked of these. What lies between
        // two loads that are held is held.
        const double end = std::min(limit_.factor, carried->first + nearly * (carried->last - carried->first));
        if (three.hold_easily(fixture_.constant + end * load.wrench)) continue;
        const auto from = [&](double multiple) {
          return HeldLoads(contacts_on(on), fixture_.constant + multiple * load.wrench);
        };
        if (from(end).holds_constant()) continue;
        const double begin = carried->first + barely * (end - carried->first);
        HeldMultiple held = from(begin).greatest(load.wrench);
        held.factor = held.factor < 0 ? carried->first : std::min(end, begin + held.factor);
        put(on, held, load);
      }
  }

  /// The greatest multiple that is held, from below; `from` where none is.
  template <class Holds>
  static double last_held(double from, double to, const Holds& holds) {
    for (int turn = 0; turn < 24; ++turn) {
      const double middle = (from + to) / 2;
      (holds(middle) ? from : to) = middle;
    }
    return from;
  }

  void look_at_pairs() {
    const std::vector<LoadBody> border = border_bodies(fixture_);
    for (std::size_t i = 0; i < rests_.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) {
        const TwoRests two(rest(i), rest(j), fixture_.contacts.friction);
        for (const LoadBody& body : border) look_at_pair(two, {i, j}, body);
      }
  }

  void look_at_pair(const TwoRests& two, const std::vector<std::size_t>& on, const LoadBody& body) {
    const auto holds = [&](double multiple) { return !not_held(two, on, body, multiple); };
    if (holds(limit_.factor)) return;
    const double end = limit_.factor, factor = last_held(0, end, holds);
    auto load = not_held(two, on, body, std::min(end, factor * (1 + 1e-6) + 1e-12 * end));
    if (!load) load = not_held(two, on, body, end);
    limit_.factor = factor;
    limit_.worst = *load;
    const Wrench all = fixture_.constant + factor * load->wrench;
    const auto pressed = two.pressed(all);
    const auto friction = two.friction(all);
    limit_.reactions.assign(fixture_.contacts.rests.size(), Vector3d::Zero());
    for (std::size_t i = 0; i < 2; ++i) limit_.reactions[rests_[on[i]]] << friction[i], std::max(0.0, pressed[i]);
    limit_.gives = two.turns(all) ? Gives::turn : Gives::slide;
  }

  /// A load over the line between two rests that these don't hold, of all that `multiple` times the body has there.
  std::optional<CutLoad> not_held(const TwoRests& two, const std::vector<std::size_t>& on, const LoadBody& body,
                                  double multiple) {
    off_.clear();
    for (const CutLoad& load : body.corners) off_.push_back(two.off_line(fixture_.constant + multiple * load.wrench));
    on_line_.clear();
    for (const auto& [a, b] : body.edges) {
      if (off_[a] * off_[b] > 0 || off_[a] == off_[b]) continue;
      on_line_.push_back(between(body.corners[a], body.corners[b], off_[a] / (off_[a] - off_[b])));
    }
    for (std::size_t c = 0; c < off_.size(); ++c)
      if (off_[c] == 0) on_line_.push_back(body.corners[c]);
    cut_where_lifted(two, multiple);
    for (const CutLoad& load : on_line_)
      if (!held_on_line(two, on, fixture_.constant + multiple * load.wrench)) return load;
    return std::nullopt;
  }

  bool held_on_line(const TwoRests& two, const std::vector<std::size_t>& on, const Wrench& load) const {
    if (two.hold(load)) return true;
    return !fixture_.contacts.tips.empty() && HeldLoads(contacts_on(on), load).holds_constant();
  }

  /// Leaves of the loads on the line those that press both rests, and the ends of what lies between.
  void cut_where_lifted(const TwoRests& two, double multiple) {
    for (std::size_t which = 0; which < 2; ++which) {
      const auto pressed = [&](const CutLoad& load) {
        return two.pressed(fixture_.constant + multiple * load.wrench)[which];
      };
      const auto lifted =
          std::ranges::stable_partition(on_line_, [&](const CutLoad& load) { return pressed(load) >= 0; });
      if (lifted.empty()) continue;
      std::vector<CutLoad> ends;
      for (auto stays = on_line_.begin(); stays != lifted.begin(); ++stays)
        for (const CutLoad& off : lifted)
          ends.push_back(between(*stays, off, pressed(*stays) / (pressed(*stays) - pressed(off))));
      on_line_.erase(lifted.begin(), lifted.end());
      on_line_.insert(on_line_.end(), ends.begin(), ends.end());
    }
  }

  static CutLoad between(const CutLoad& a, const CutLoad& b, double share) {
    CutLoad load = a;
    load.wrench += share * (b.wrench - a.wrench);
    load.place += share * (b.place - a.place);
    load.axial += share * (b.axial - a.axial);
    if (load.wrench.head<2>().norm() > 0) load.towards = std::atan2(load.wrench[1], load.wrench[0]);
    return load;
  }

  const FixtureCase& fixture_;
  std::vector<std::size_t> rests_;
  std::vector<LoadBody> corners_;
  FixtureLimit limit_;
  std::vector<double> off_;       ///< of each corner, from the line through two rests
  std::vector<CutLoad> on_line_;  ///< the loads of a body over that line, by their corners
};

}  // namespace

bool same(const FixtureCase& one, const FixtureCase& other) {
  const auto equal = [](const auto& a, const auto& b) {
    return std::ranges::equal(a, b, [](const auto& x, const auto& y) { return (x.array() == y.array()).all(); });
  };
  const Contacts &mine = one.contacts, &theirs = other.contacts;
  const CutRange &cut = one.cut, &other_cut = other.cut;
  return equal(mine.rests, theirs.rests) && equal(mine.tips, theirs.tips) && mine.grips == theirs.grips &&
         mine.friction == theirs.friction && one.constant.cwiseEqual(other.constant).all() &&
         one.weight.cwiseEqual(other.weight).all() && one.weight_only == other.weight_only &&
         std::tie(cut.side, cut.lift, cut.thrust, cut.height) ==
             std::tie(other_cut.side, other_cut.lift, other_cut.thrust, other_cut.height) &&
         equal(cut.over, other_cut.over);
}

FixtureLimit fixture_limit(const FixtureCase& fixture) {
  return Search(fixture).run();
}

}  // namespace cellproof
