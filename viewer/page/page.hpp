// SPDX-License-Identifier: GPL-3.0-or-later
// The report as a page to pass on: one file, no script, nothing fetched, its pictures within.
#pragma once

#include <string>

#include "checks/prove.hpp"

namespace cellproof {

/// HTML of a proof that measured curves.
std::string page_of(const Proof& proof);

}  // namespace cellproof
