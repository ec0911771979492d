// SPDX-License-Identifier: GPL-3.0-or-later
// Findings told once: those that say the same of the same things, in one run or many.
#pragma once

#include <string>
#include <vector>

#include "checks/report.hpp"

namespace cellproof {

/// The worst speaks for all.
struct Gathered {
  std::size_t worst = 0;                        ///< into the report's findings
  std::vector<std::size_t> all;                 ///< in the report's order, the worst among them
  std::vector<std::string> runs;                ///< in order, each once; without the nameless run
  std::vector<std::vector<std::string>> pairs;  ///< in order, each once: what it is between, with each part
};

/// Of one severity, in the report's order, but for what follows from another: that comes last.
std::vector<Gathered> gather(const std::vector<Finding>& findings, Severity severity);

/// Of both: what fails first.
std::vector<Gathered> gather(const std::vector<Finding>& findings);

/// "step "pick", at 1.57 s, rack 2 (worst of 8 seats); also right finger / milled bar".
std::string where_words(const std::vector<Finding>& findings, const Gathered& gathered);

/// What a group's mend clears beside it, or what it follows from: "also clears 2 and 3", "goes with 1: mend that
/// first"; empty if neither. Groups by their places in `groups`, from 1.
std::string root_words(const std::vector<Finding>& findings, const std::vector<Gathered>& groups, std::size_t group);

}  // namespace cellproof
