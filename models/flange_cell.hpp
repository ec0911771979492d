// SPDX-License-Identifier: GPL-3.0-or-later
// The bodies of the flange cell: an arm loads cast flanges into a mill through its side door. All of it is invented.
#pragma once

#include <vector>

#include "models/named_shape.hpp"

namespace cellproof::models::flange_cell {

/// Base and six links, each in its own frame.
std::vector<NamedShape> arm_shapes();
/// Enclosure, door frame, door, table, column, spindle head, chuck, infeed stand and pedestal, each in its own frame.
std::vector<NamedShape> surroundings_shapes();
/// Gripper, fingers, camera and its bracket in the flange frame; the flange casting in its own.
std::vector<NamedShape> tool_shapes();

}  // namespace cellproof::models::flange_cell
