// SPDX-License-Identifier: GPL-3.0-or-later
// The one entry: a cell in, its proof out.
#pragma once

#include <functional>
#include <memory>
#include <stop_token>
#include <string>

#include "checks/report.hpp"

namespace cellproof {

class PairResults;

/// How to run a proof.
struct Run {
  int threads = 0;  ///< 0: all
  std::stop_token stop;
  std::function<void(double share, const std::string& what)> progress;  ///< may be empty
  bool curves = false;  ///< also measure the clearance of each step along time
  /// What earlier proofs found about pairs (scene/clearance/pair_results.hpp) makes a proof of a cell like theirs
  /// shorter, and the same. Empty: this proof begins with nothing and keeps nothing.
  std::shared_ptr<PairResults> results;
};

/// A cell, what it was made into, how it moves, and what was found.
struct Proof {
  std::shared_ptr<const Scene> scene;  ///< holds the cell
  std::shared_ptr<const Cycle> cycle;
  Report report;
  long distances_asked = 0;  ///< of search trees, for clearance
  bool cancelled = false;    ///< stopped before the end: the report is not to be used
};

Input<Proof> prove(const Cell& cell, const Run& run = {});

}  // namespace cellproof
