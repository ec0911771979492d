// SPDX-License-Identifier: GPL-3.0-or-later
// Air pressure by altitude.
#pragma once

namespace cellproof {

/// Ambient pressure (Pa) at a geometric altitude (mm), up to 11 km.
/// US Standard Atmosphere 1976: P = 101325 (1 − 0.0065 H/288.15)^5.2558761, H = r z/(r + z) in m, r = 6356766 m.
double ambient_pressure(double altitude_mm);

}  // namespace cellproof
