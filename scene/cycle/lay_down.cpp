// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/lay_down.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace cellproof {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// The longest within one piece. `before` and `after` are the ways back from its start and on from its end.
LayDown longest_in(const CarryPiece& piece, std::size_t number, double before, double after) {
  if (!piece.moves) return {std::min(before, piece.duration + after), number, 0};
  // Falls by a second a second: on, or on to the move's end and back.
  const double falling = std::min(piece.duration + after, 2 * piece.duration + before);
  // Rises as fast: back at once.
  const double rising = before + piece.turning.value_or(infinite);
  const double meeting = std::isfinite(rising) ? std::clamp((falling - rising) / 2, 0.0, piece.duration) : 0;
  return {std::min(falling - meeting, rising + meeting), number, meeting};
}

}  // namespace

std::optional<LayDown> longest_to_lay_down(std::span<const CarryPiece> pieces, bool let_go_at_end) {
  double after = 0;
  for (const CarryPiece& piece : pieces) after += piece.duration;
  if (!let_go_at_end) after = infinite;
  LayDown longest;
  double before = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    after = let_go_at_end ? std::max(0.0, after - pieces[i].duration) : infinite;
    if (pieces[i].bars_way_back) before = infinite;
    const LayDown here = longest_in(pieces[i], i, before, after);
    if (!std::isfinite(here.seconds)) return std::nullopt;
    if (here.seconds > longest.seconds) longest = here;
    if (pieces[i].moves) before += pieces[i].duration;
  }
  return longest;
}

}  // namespace cellproof
