// SPDX-License-Identifier: GPL-3.0-or-later
// Shapes to a STEP file, the same bytes every time.
#pragma once

#include <string>
#include <vector>

#include "cad/step_reader.hpp"

namespace cellproof::cad {

struct StepStyle {
  std::string schema = "AP214";  ///< or AP203, AP242
  std::string unit = "mm";       ///< or cm, m, in
  std::string title;
};

/// One product a solid, under its name. Throws std::invalid_argument for another schema or unit, and
/// std::runtime_error if the library refuses. AP203 states the day it is written on.
std::string step_of(const std::vector<NamedSolid>& solids, const StepStyle& style);

}  // namespace cellproof::cad
