// SPDX-License-Identifier: GPL-3.0-or-later
// Findings told once: those that say the same of the same things, in one run or many.
#pragma once

#include <string>
#include <vector>

#include "checks/report.hpp"

namespace cellproof {

/// The worst speaks for all.
struct Gathered {
  std::size_t worst = 0;          ///< into the report's findings
  std::vector<std::size_t> all;   ///< in the report's order, the worst among them
  std::vector<std::string> runs;  ///< in order, each once; without the nameless run
};

/// Of one severity, in the report's order.
std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity);

/// Of both: what fails first.
std::vector<Gathered> gather(const std::vector<Finding>& findings);

/// "step "pick", at 1.57 s, rack 2 (worst of 8 seats)".
std::string where_words(const std::vector<Finding>& findings, const Gathered& gathered);

}  // namespace cellproof
