// SPDX-License-Identifier: GPL-3.0-or-later
// Solids described in JSON. docs: `cellproof-cad write --help`.
#pragma once

#include <string>
#include <vector>

#include "cad/solid_pieces.hpp"

namespace cellproof::cad {

struct PlacedPiece {
  Piece piece;
  Pose at = Pose::Identity();
};

/// All of `add` joined, less all of `cut`.
struct SolidText {
  std::string name;
  std::vector<PlacedPiece> add, cut;
};

struct SolidsText {
  std::string title;
  std::vector<SolidText> solids;
};

/// Throws std::invalid_argument with a sentence about what is wrong.
SolidsText solids_of_json(const std::string& text);

}  // namespace cellproof::cad
