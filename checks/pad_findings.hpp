// SPDX-License-Identifier: GPL-3.0-or-later
// What is wrong about pads that do not meet the part, or hardly do.
#pragma once

#include <vector>

#include "checks/measures.hpp"

namespace cellproof {

/// Fails where a side has no contact, or less than the jaw's `pad_area`; without that a caution under 20 mm^2 or a
/// tenth of the pad's own face (our rule); a caution where nothing is modelled. `place` has the run, step and time.
void add_pad_findings(const Scene& scene, Check check, const Finding& place, const PadMeasure& pads,
                      std::vector<Finding>& findings);

}  // namespace cellproof
