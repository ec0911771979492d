// SPDX-License-Identifier: GPL-3.0-or-later
// From where to where each part is carried, and how it could be laid down on the way.
#pragma once

#include <vector>

#include "scene/cycle/cycle.hpp"
#include "scene/cycle/lay_down.hpp"
#include "scene/forces/carried_mass.hpp"

namespace cellproof {

/// A part in a tcp's hand.
struct Carry {
  TcpId tcp;
  PartId part;
  std::size_t grip = 0;  ///< the grip stretch, into run.stretches
  std::size_t down = 0;  ///< that begins with the part where it is let go; the number of stretches if none does
  bool let_go = false;
};

std::vector<Carry> carries(const CycleRun& run);

/// The stretches between grip and `down`. Where `rules.stop` is given and the part's mass known, a move that keeps an
/// even law (a joint move, a line that no joint holds back) may be turned round on the way: that costs twice the time
/// to rest from its greatest speed, and half of its ramp, as much as starting from rest on the way takes longer.
std::vector<CarryPiece> carry_pieces(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                     const Carry& carry);

}  // namespace cellproof
