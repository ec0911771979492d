// SPDX-License-Identifier: GPL-3.0-or-later
// The report for the shop: what fails first, where, when, by how much, what to change.
#pragma once

#include <string>

#include "checks/prove.hpp"

namespace cellproof {

std::string report_text(const Proof& proof);

/// A name may hold line ends and worse; on paper each is a space.
std::string printable(std::string text);

}  // namespace cellproof
