// SPDX-License-Identifier: GPL-3.0-or-later
// How long it takes to lay a part down, whenever that has to be done: on to where the cycle lets it go, or back.
#pragma once

#include <optional>
#include <span>

namespace cellproof {

/// A piece of the way with a part in hand, at the cycle's speed. s.
struct CarryPiece {
  double duration = 0;
  bool moves = false;             ///< the arm: then the piece takes as long the other way round
  bool bars_way_back = false;     ///< something else changes in it: nobody knows that the way back is free
  std::optional<double> turning;  ///< of a move: lost by coming to rest and being as fast again the other way; not
                                  ///< known: the arm turns round at the move's end only
};

/// The instant at which laying down takes longest.
struct LayDown {
  double seconds = 0;
  std::size_t piece = 0;
  double into_piece = 0;  ///< s since the piece began
};

/// Of all instants the longest that the shorter way takes: on to the end of the last piece, if the part is let go
/// there, or back to the start of the first. Nothing if neither is open at some instant.
std::optional<LayDown> longest_to_lay_down(std::span<const CarryPiece> pieces, bool let_go_at_end);

}  // namespace cellproof
