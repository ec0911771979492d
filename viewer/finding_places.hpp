// SPDX-License-Identifier: GPL-3.0-or-later
// Where a finding happens: its run, its instant, its bodies.
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
/// Each once.
std::vector<BodyId> bodies_of_finding(const Proof& proof, std::size_t finding);

}  // namespace cellproof
