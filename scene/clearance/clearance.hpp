// SPDX-License-Identifier: GPL-3.0-or-later
// The least distance of pairs of bodies over a whole continuous stretch, enclosed from both sides. After F. Schwarzer,
// M. Saha, J.-C. Latombe, IEEE Trans. Robotics 21(3), 2005: between two instants no point travels further than a bound.
#pragma once

#include <optional>
#include <stop_token>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// A span of the path parameter, 0 <= from <= to <= 1.
struct Span {
  double from = 0, to = 1;
};

/// What is asked of a pair: is its distance at least `least_mm` all along `spans`?
struct PairAsked {
  BodyId a, b;
  double least_mm = 0;
  std::vector<Span> spans;
  /// Distances beyond this need not be told apart: no more is proven of them than that they reach it, less the
  /// tolerance. 0: the pair owes its rule and does not vie for the least.
  double of_interest_mm = std::numeric_limits<double>::infinity();
  /// Pairs vie by their distance over this: who asks for the least share of a rule gives each its rule.
  double over_mm = 1;
};

/// How closely a distance (mm) is enclosed: 0.1 mm or 2 %, and what the meshes and the chain of knots may be off by
/// where that is more.
double known_to(double distance_mm);

/// lower <= truth <= upper. Where the pair can neither fail its `least_mm` nor decide the stretch's least distance,
/// the refining stopped early: `lower_mm` may then be far below the truth, `upper_mm` infinite and the rest NaN.
/// Whoever shows such a pair's distance has it refined first (checks/closest_pairs.hpp).
struct PairClearance {
  double lower_mm = 0;
  double upper_mm = std::numeric_limits<double>::infinity();
  double share = std::numeric_limits<double>::quiet_NaN();  ///< path parameter of the least distance found
  std::array<Vector3d, 2> points{Vector3d::Constant(std::numeric_limits<double>::quiet_NaN()),
                                 Vector3d::Constant(std::numeric_limits<double>::quiet_NaN())};  ///< on a and b, world
};

struct StretchClearance {
  std::vector<PairClearance> pairs;  ///< in the order asked
  std::optional<std::size_t>
      closest;  ///< the pair of the least `upper_mm`, the first of equals; none if none was asked
  /// Enclosure of the least distance over all pairs, within 0.1 mm or 2 % where all vie by their distance: no pair is
  /// nearer than `lower_mm`, and `closest` comes as near as `upper_mm`.
  double lower_mm = std::numeric_limits<double>::quiet_NaN(), upper_mm = std::numeric_limits<double>::quiet_NaN();
  long queries = 0;  ///< distances asked of the search trees; kept answers cost none
};

class PairResults;

/// Pairs that fall short of their `least_mm` are enclosed within 0.1 mm or 2 %; pairs that can't be told from it, to
/// 0.001 mm. Touching, crossing and one solid inside another are 0. What is left open about the others hangs on the
/// order asked: whoever shows a figure asks in an order that the cell file's does not change.
/// Not to be used once stop is requested. `results`, if given, is searched for each pair and keeps what is found; the
/// answer is the same to the bit with and without.
StretchClearance measure_clearance(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked,
                                   const std::stop_token& stop = {}, PairResults* results = nullptr);

/// The same of each pair by itself: every one is enclosed within 0.1 mm or 2 %, or proven to be of no interest,
/// whatever the others come to.
StretchClearance measure_each(const Scene& scene, const Stretch& stretch, const std::vector<PairAsked>& asked,
                              const std::stop_token& stop = {}, PairResults* results = nullptr);

/// Settles `closest`, `lower_mm` and `upper_mm` by `pairs`.
void settle_closest(StretchClearance& clearance);

}  // namespace cellproof
