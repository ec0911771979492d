// SPDX-License-Identifier: GPL-3.0-or-later
// What findings have in common that differ in the part alone.
#pragma once

#include "checks/finding.hpp"
#include "scene/scene.hpp"

namespace cellproof {

/// Fills in `about` of a clearance: "a part" in place of any part, or copy of one, in its pair.
void tell_about(const Scene& scene, Finding& finding);

}  // namespace cellproof
