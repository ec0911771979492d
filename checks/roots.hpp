// SPDX-License-Identifier: GPL-3.0-or-later
// Which failures have one cause: what the mend of one clears, found by proving the cell with the mend made.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

/// Fills in `follows_from` of the findings that fail: where a body that can be set elsewhere is in the way of several,
/// it is set where the mend of one says, the largest of its steps and seats, and the cell is proved again; then once
/// more by the clearance rule further, which the mend then tells. What fails no more, with the one that was mended and
/// with nothing new that fails, follows from that one. At most six places are tried. After the ways out; not to be used
/// once stop is requested.
void tell_roots(const Evidence& evidence, const Run& run, std::vector<Finding>& findings);

}  // namespace cellproof
