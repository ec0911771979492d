// SPDX-License-Identifier: GPL-3.0-or-later
// What a part and what holds it rub with.
#pragma once

#include <initializer_list>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Of the first holder that a `[[friction]]` names with the part, the least if it is named twice; else `own`.
double friction_between(const Cell& cell, std::initializer_list<std::string> holders, const std::string& part,
                        double own);

/// Of a hold and a part: the least over its zones or jaw; of one that is not named with the part, the hold's with it,
/// else the hold's own.
double friction_in(const Cell& cell, const Hold& hold, const std::string& part);

}  // namespace cellproof
