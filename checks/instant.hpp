// SPDX-License-Identifier: GPL-3.0-or-later
// What is nearest at one instant, for pictures.
#pragma once

#include <optional>

#include "checks/report.hpp"

namespace cellproof {

/// The least distance of all checked pairs at a time within the stretch; none if no pair is checked there.
/// Pairs that meet on purpose at the seat are left out during the moves at the seat.
std::optional<ClearanceFigure> instant_clearance(const Scene& scene, const Stretch& stretch, double time_s);

}  // namespace cellproof
