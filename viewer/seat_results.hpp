// SPDX-License-Identifier: GPL-3.0-or-later
// What a cycle that is proved for several seats came to, seat by seat.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

struct SeatResult {
  std::string run;
  std::size_t fails = 0;
  double gap_mm = std::numeric_limits<double>::infinity(), duration_s = 0;
  std::string first;  ///< what fails first, and at which step
};

/// Worst first; one without a name for a cycle without `each`, none without a cycle.
std::vector<SeatResult> seat_results(const Proof& proof);

/// Of the fillings of the other seats the one with the most that fails, then the one with the least gap.
std::string worst_filling(const Report& report, const std::string& run);

/// What the file's own word for a filling of the other seats means, to follow the seat's name.
std::string filling_words(const std::string& others);

/// What stands behind the verdict: ", 2 things to change, 6 of 8 seats pass"; empty if there is nothing to add.
std::string count_words(const Proof& proof, const std::vector<SeatResult>& seats);

}  // namespace cellproof
