// SPDX-License-Identifier: GPL-3.0-or-later
// What fails and what to take care of, each with pictures of where it happens, for the page.
#pragma once

#include <string>

#include "checks/prove.hpp"

namespace cellproof {

/// Cards: what, where, by how much, what to change. The first dozen with pictures.
std::string failures_html(const Proof& proof);

/// The same without pictures.
std::string cares_html(const Proof& proof);

/// The instant of the least gap, for a cycle that passes; empty where no gap is asked.
std::string tightest_html(const Proof& proof);

}  // namespace cellproof
