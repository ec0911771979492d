// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/what_gives.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

/// What rests and grips move by, weighed with what each carries.
struct Weighed {
  double all = 0, spread = 0;
  Vector2d middle = Vector2d::Zero();
};

Weighed weighed(const Contacts& contacts, const HeldMultiple& held) {
  Weighed sum;
  std::vector<std::pair<Vector2d, double>> places;
  for (std::size_t i = 0; i < contacts.rests.size(); ++i)
    places.emplace_back(contacts.rests[i], contacts.friction * held.reactions[i].z());
  for (std::size_t i = 0; i < contacts.tips.size(); ++i)
    places.emplace_back(contacts.tips[i].head<2>(), contacts.grips[i]);
  for (const auto& [at, grip] : places) {
    sum.all += grip;
    sum.middle += grip * at;
  }
  if (!(sum.all > 0)) return sum;
  sum.middle /= sum.all;
  for (const auto& [at, grip] : places) sum.spread += grip / sum.all * (at - sum.middle).squaredNorm();
  return sum;
}

Vector3d velocity(const Wrench& motion, const Vector3d& at) {
  return motion.head<3>() + motion.tail<3>().cross(at);
}

bool turns_over(const Contacts& contacts, const HeldMultiple& held, double pressing) {
  double fastest_up = 0, fastest_along = 0;
  for (std::size_t i = 0; i < contacts.rests.size(); ++i) {
    const Vector3d moves = velocity(held.motion, {contacts.rests[i].x(), contacts.rests[i].y(), 0});
    fastest_up = std::max(fastest_up, moves.z());
    if (held.reactions[i].z() > 1e-6 * pressing) fastest_along = std::max(fastest_along, moves.head<2>().norm());
  }
  return fastest_along < 0.1 * fastest_up;
}

}  // namespace

std::string_view name_of(Gives gives) {
  switch (gives) {
    case Gives::slide:
      return "slide";
    case Gives::turn:
      return "turn";
    case Gives::tip:
      return "tip";
    case Gives::lift:
      return "lift";
  }
  return "";
}

std::string_view sentence_of(Gives gives) {
  switch (gives) {
    case Gives::slide:
      return "slides";
    case Gives::turn:
      return "turns";
    case Gives::tip:
      return "tips";
    case Gives::lift:
      return "lifts off";
  }
  return "";
}

Gives what_gives(const Contacts& contacts, const Wrench& constant, const HeldMultiple& held) {
  double pressing = 0;
  for (const Vector3d& reaction : held.reactions) pressing += reaction.z();
  if (!(pressing > -1e-4 * constant[2])) return Gives::lift;
  if (turns_over(contacts, held, pressing)) return Gives::tip;
  const Weighed grip = weighed(contacts, held);
  const Vector3d middle = velocity(held.motion, {grip.middle.x(), grip.middle.y(), 0});
  return 3 * std::abs(held.motion[5]) * std::sqrt(grip.spread) > middle.head<2>().norm() ? Gives::turn : Gives::slide;
}

Gives what_fails_at_rest(Contacts contacts, const Wrench& constant) {
  if (!(constant[2] < 0)) return Gives::lift;
  contacts.friction = 1e3;
  return HeldLoads(contacts, constant).holds_constant() ? Gives::slide : Gives::tip;
}

}  // namespace cellproof
