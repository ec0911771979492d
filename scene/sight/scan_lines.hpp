// SPDX-License-Identifier: GPL-3.0-or-later
// Straight lines across a window that measure areas: exact along each, placed at random across.
#pragma once

#include <span>
#include <utility>
#include <vector>

#include "scene/sight/nearest_on_line.hpp"
#include "scene/sight/shadows.hpp"

namespace cellproof {

/// A line of the window's u and v: start + s along, s in [0, length].
struct ScanLine {
  Vector2d start, along;  ///< `along` is a unit vector
  double length = 0;
  double breadth = 0;  ///< of the strip that it stands for: the strips' areas add up to the window's 1
};

using Edge = std::pair<Vector2d, Vector2d>;  ///< of something that is to be measured, in u and v

/// Lines in a direction that runs across the edges of the shadows (and `others`) as well as can be: an edge along the
/// lines is met by chance, one across them exactly. The window is cut into strips; in each, one line lies at random and
/// another as far on the other side of its middle, so that an area is exact where its edges are straight across the
/// strip, and true in the mean everywhere (antithetic pairs in strata, J. M. Hammersley, K. W. Morton, 1956). Direction
/// and number hang on the geometry alone, and nothing that a line meets decides what counts.
std::vector<ScanLine> scan_lines(std::span<const Shadow> shadows, std::span<const Edge> others);

/// What lies over each line, in s.
class LineCovers {
 public:
  LineCovers(std::span<const Shadow> shadows, const std::vector<ScanLine>& lines);
  std::vector<Cover> over(std::size_t line) const;

 private:
  std::span<const Shadow> shadows_;
  const std::vector<ScanLine>& lines_;
  std::vector<std::size_t> begin_;  ///< of each line's in `shadow_of_`
  std::vector<std::uint32_t> shadow_of_;
};

}  // namespace cellproof
