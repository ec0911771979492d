// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace cellproof {

/// By which the window is also found on the screen.
inline constexpr const char* window_title = "cellproof: the cell";

}  // namespace cellproof
