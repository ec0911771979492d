// SPDX-License-Identifier: GPL-3.0-or-later
// What a fixture needs to know of a part's meshes, seen along the seat's z.
#pragma once

#include <optional>
#include <span>

#include "scene/forces/pressing_contacts.hpp"

namespace cellproof {

// All meshes are placed in the seat's frame, mm.

/// The corners of the part's outline in the seat's xy.
std::vector<Vector2d> outline_seen(std::span<const PlacedMesh> part);

/// How high the part stands at a place of the seat's xy; nothing beside it.
std::optional<double> top_at(std::span<const PlacedMesh> part, const Vector2d& place);

/// The hull of the places where the part can be pressed along the seat's +z within 12 degrees by what it touches within
/// `depth_mm`: 16 corners at most, drawn inward. None where nothing is found.
std::vector<Vector2d> rests_found(std::span<const PlacedMesh> part, std::span<const PlacedMesh> others,
                                  double depth_mm);

}  // namespace cellproof
