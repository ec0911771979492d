// SPDX-License-Identifier: GPL-3.0-or-later
// Eight boxes or triangles side by side, one number of each in a row, so that one loop works on all of them at once.
// Plain numbers only: files compiled for several processors may not share inline code of other libraries.
#pragma once

namespace cellproof::lanes {

inline constexpr int count = 8;

/// One number of each of the eight.
using Row = double[count];

/// In floats twice as many fit.
using FloatRow = float[count];

/// Boxes turned any way: middles, unit axes [axis][component] and half extents along them, which make up for the
/// rounding of the others.
struct alignas(32) Boxes {
  FloatRow centre[3], axes[3][3], half[3];
};

struct OneBox {
  double centre[3], axes[3][3], half[3];
};

/// Triangles by corners [corner][component].
struct alignas(64) Triangles {
  Row corner[3][3];
};

struct OneTriangle {
  double corner[3][3];
};

/// Displacement of a point p: u (shift + turn × p), u in [-1, 1].
struct Drift {
  double shift[3], turn[3];
};

/// Nearest distances of eight triangles from one, squared, and the way from them to the one: nearest point of the one
/// less nearest point of the lane. Where they may cross the squared distance is 0 and the way is meaningless.
struct alignas(64) Gaps {
  Row squared, way[3];
};

}  // namespace cellproof::lanes
