// SPDX-License-Identifier: GPL-3.0-or-later
// Whether two suction zones cover the same place twice.
#pragma once

#include "scene/cell/cell.hpp"

namespace cellproof {

/// The share of the smaller zone's area that the other covers too, seen along the seal's normal, by samples; 0 for
/// zones on different carriers, and for zones that face different ways. A zone in another's hole covers nothing of it.
double overlap_share(const Suction& one, const Suction& other);

}  // namespace cellproof
