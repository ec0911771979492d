// SPDX-License-Identifier: GPL-3.0-or-later
// Which of many segments over a line is on top where: the exact answer to "what is met first" all along it.
#pragma once

#include <algorithm>
#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// A body over a part of a line; its nearness is affine between its ends.
struct Cover {
  double from = 0, to = 0;  ///< places on the line, from < to
  double near_from = 0, near_to = 0;
  BodyId body;
};

/// A part of the line and the body that is nearest all along it.
struct Top {
  double from = 0, to = 0;
  BodyId body;
};

/// The upper envelope of the covers, from left to right, by merging the envelopes of halves (after M. Atallah, 1985):
/// O(n log n) but for its own, all but linear, growth. Where two are equally near, the one that begins first.
/// Neighbours of one body are one part; gaps no wider than `seam` are closed to the left.
std::vector<Top> nearest_on_line(std::vector<Cover> covers, double seam);

/// Calls visit(from, to, body) for all of [from, to] from left to right, with no body where nothing is.
template <class Visit>
void for_each_met(const std::vector<Top>& tops, double from, double to, const Visit& visit) {
  auto top = std::ranges::upper_bound(tops, from, {}, &Top::to);
  while (from < to) {
    const bool over = top != tops.end() && top->from <= from;
    const double end = top == tops.end() ? to : std::min(to, over ? top->to : top->from);
    visit(from, end, over ? top->body : BodyId{});
    from = end;
    top += over;
  }
}

}  // namespace cellproof
