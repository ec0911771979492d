// SPDX-License-Identifier: GPL-3.0-or-later
// Other poses to look from, as text and as JSON.
#pragma once

#include <string>
#include <vector>

#include "checks/studies/other_looks.hpp"

namespace cellproof {

std::string looks_text(const Cell& cell, const std::vector<OtherLooks>& looks);
std::string looks_json(const Cell& cell, const std::vector<OtherLooks>& looks);

}  // namespace cellproof
