// SPDX-License-Identifier: GPL-3.0-or-later
// Where a finding happens: its run and its instant. And the way from one finding to the next.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

/// The run (into the cycle's) that a finding or a figure of the report names by its seat and by what fills the others;
/// none if there is none.
std::optional<std::size_t> run_named(const Cycle& cycle, const std::string& run, const std::string& others);

struct FindingPlace {
  std::size_t run = 0;  ///< into the cycle's runs
  double time_s = 0;
};

/// None for what concerns the cell as a whole.
std::optional<FindingPlace> place_of_finding(const Proof& proof, std::size_t finding);

/// The bodies that a finding is about: those that it names, and those that stand before the target that it names.
/// Numbers into the scene's bodies, each once.
std::vector<int> bodies_of_finding(const Proof& proof, std::size_t finding);

/// One line of a list: a finding, and all others that say the same of other runs.
struct FindingGroup {
  std::size_t worst = 0;          ///< into the report's findings
  std::vector<std::size_t> all;   ///< in the report's order, the worst among them
  std::vector<std::string> runs;  ///< where it happens, in order, each once; without the nameless run
};

/// Findings of the same question, step and pair are one group; fails first, then as in the report. The worst of a group
/// is the one that is furthest from what is asked.
std::vector<FindingGroup> finding_groups(const Report& report);

/// The group after (or, backwards, before) a group, round and round; none if there is none.
std::optional<std::size_t> next_group(std::size_t count, std::optional<std::size_t> now, bool backwards);

}  // namespace cellproof
