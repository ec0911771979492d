// SPDX-License-Identifier: GPL-3.0-or-later
// Names that stand for frames: seats of a grid, reserved words, slots.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// The seat's name, or for a grid "rack 1" … in order: along the seat's x first, then y.
std::vector<std::string> seat_names(const Seat& seat);

/// Pose of the grid's seat `index` (from 0, the order of seat_names) in the seat as written; no offset without a grid.
Pose grid_offset(const Seat& seat, int index);

/// True for a slot of `each`: "@slot".
bool is_slot(std::string_view name);

/// Words with a meaning of their own, that nothing may be named: world, base, link1 …, "end effector", none …
bool is_reserved(std::string_view name);

}  // namespace cellproof
