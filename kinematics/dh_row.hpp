// SPDX-License-Identifier: GPL-3.0-or-later
// A row of a DH table. By itself, as files that include no other library read it too.
#pragma once

namespace cellproof {

/// One row of the table; a, d in mm, alpha, theta in rad.
struct DhRow {
  double a = 0, alpha = 0, d = 0, theta = 0;
};

}  // namespace cellproof
