// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the part is held at every handover between hand, fixture and seat.
#pragma once

#include <string>
#include <vector>

#include "checks/report.hpp"

namespace cellproof {

/// Findings of one run: work on a part that its fixture does not hold, a hold of another part or seat, a release before
/// the vacuum can stand or without waiting, a part drawn against a fixture that still holds, a seat that a part would
/// slide or fall out of.
void add_handover_findings(const Scene& scene, const CycleRun& run, std::vector<Finding>& findings);

/// What the controller has to do where a grip or a hold is never confirmed, one sentence each.
std::vector<std::string> controller_duties(const Scene& scene);

}  // namespace cellproof
