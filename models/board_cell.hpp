// SPDX-License-Identifier: GPL-3.0-or-later
// The bodies of the board cell: an arm loads laminate boards onto a vacuum plate in a portal mill. All of it is
// invented.
#pragma once

#include <vector>

#include "models/named_shape.hpp"
#include "models/step_solids.hpp"

namespace cellproof::models::board_cell {

/// Base and six links, each in its own frame.
std::vector<NamedShape> arm_shapes();
/// Enclosure, rails and door in the enclosure's frame; bed, portal, carousel, table, vacuum plate and spindle head,
/// each in its own.
std::vector<NamedShape> mill_shapes();
/// Pedestal, rack, signal post and outfeed grid, each in its own frame.
std::vector<NamedShape> surroundings_shapes();
/// The camera in the flange frame; the raw and the milled board in theirs.
std::vector<NamedShape> tool_shapes();

/// The gripper in the flange frame: plate, two cups and hose bracket.
std::vector<StepFile> step_files();

}  // namespace cellproof::models::board_cell
