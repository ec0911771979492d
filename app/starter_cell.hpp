// SPDX-License-Identifier: GPL-3.0-or-later
// The cell that `cellproof new` writes.
#pragma once

#include <string_view>

namespace cellproof {

/// A cell file with comments, invented, without models of its own; it passes `check` as it stands.
extern const std::string_view starter_cell;

}  // namespace cellproof
