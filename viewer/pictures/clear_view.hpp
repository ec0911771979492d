// SPDX-License-Identifier: GPL-3.0-or-later
// What stands between an eye and a place, and from where the place can be seen.
#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <vector>

#include "scene/sight/sight.hpp"

namespace cellproof {

using Wanted = std::function<bool(BodyId body)>;  ///< bodies that count

/// A look into the world along a line; the direction need not be of unit length.
struct LookLine {
  Vector3d eye = Vector3d::Zero(), direction = Vector3d::UnitY();
};

/// A body on a line, and how many lengths of the line's direction along it is met.
struct MetBody {
  BodyId body;
  double along = 0;
};

/// The first wanted body on the line, as far as `far` lengths of its direction.
std::optional<MetBody> first_met(const Scene& scene, const Instant& at, const LookLine& line, const Wanted& wanted,
                                 double far = std::numeric_limits<double>::infinity());

/// Bodies on the way from an eye to a point, but for the last `short_of_mm` of it.
std::vector<BodyId> bodies_before(const Scene& scene, const Instant& at, const Vector3d& eye, const Vector3d& point,
                                  const Wanted& wanted, double short_of_mm);

/// A direction to look along (unit, world) from which as few bodies as can be stand before the point at
/// `distance_mm`; among equals the one nearest to `preferred`. It looks from the sides and from above, never from
/// below.
Vector3d clearest_direction(const Scene& scene, const Instant& at, const Vector3d& point, const Vector3d& preferred,
                            double distance_mm, const Wanted& wanted);

}  // namespace cellproof
