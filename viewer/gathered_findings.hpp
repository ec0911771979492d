// SPDX-License-Identifier: GPL-3.0-or-later
// Findings told once: those that say the same of the same things, in one run or many.
#pragma once

#include <string>
#include <vector>

#include "checks/report.hpp"

namespace cellproof {

/// The worst speaks for all.
struct Gathered {
  std::size_t worst = 0;  ///< into the report's findings
  std::size_t times = 0;
  std::vector<std::string> runs;  ///< in order, each once; without the nameless run
};

/// Of one severity, in the report's order.
std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity);

/// "step "pick", at 1.57 s, rack 2 (worst of 8 seats)".
std::string where_words(const std::vector<Finding>& findings, const Gathered& gathered);

}  // namespace cellproof
