// SPDX-License-Identifier: GPL-3.0-or-later
// A solid of a STEP file by its name.
#pragma once

#include "cad/step_reader.hpp"

namespace cellproof::cad {

/// Throws Refused, with the names that there are, where there is none of this name.
const NamedSolid& solid_named(const StepModel& model, const std::string& name);

}  // namespace cellproof::cad
