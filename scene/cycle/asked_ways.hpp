// SPDX-License-Identifier: GPL-3.0-or-later
// Which of the arm's ways to stand a choice may take, where several runs are to share one.
#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace cellproof {

/// Ways are called by `configuration_name`, layers counted as a ladder's: one a target.
struct AskedWays {
  std::vector<std::string> taken;  ///< by layer, the only one that will do; empty: any that is not barred
  std::set<std::pair<std::size_t, std::string>> barred;
  std::set<std::tuple<std::size_t, std::string, std::string>> barred_moves;  ///< from the layer before to this one

  bool allows(std::size_t layer, const std::string& way) const {
    return taken.empty() ? !barred.contains({layer, way}) : layer >= taken.size() || taken[layer] == way;
  }
  bool allows_move(std::size_t layer, const std::string& from, const std::string& to) const {
    return !taken.empty() || !barred_moves.contains({layer, from, to});
  }
};

}  // namespace cellproof
