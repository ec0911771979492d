// SPDX-License-Identifier: GPL-3.0-or-later
// Zones that leak, as findings.
#pragma once

#include <vector>

#include "checks/report.hpp"
#include "checks/zone_covers.hpp"

namespace cellproof {

/// Adds a failure for each zone that the part does not wholly cover and a caution for each recess under one; `place`
/// has check, run, step and time filled in.
void add_seal_findings(const Scene& scene, Check check, const Finding& place, PartId part,
                       const std::vector<ZoneCover>& covers, std::vector<Finding>& findings);

}  // namespace cellproof
