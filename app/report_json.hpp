// SPDX-License-Identifier: GPL-3.0-or-later
// The report as JSON.
#pragma once

#include <string>

#include "checks/prove.hpp"

namespace cellproof {

std::string report_json(const Proof& proof);

}  // namespace cellproof
