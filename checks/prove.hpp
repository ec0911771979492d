// SPDX-License-Identifier: GPL-3.0-or-later
// The one entry: a cell in, its proof out.
#pragma once

#include <functional>
#include <memory>
#include <stop_token>
#include <string>

#include "checks/report.hpp"

namespace cellproof {

/// How to run a proof.
struct Run {
  int threads = 0;  ///< 0: all
  std::stop_token stop;
  std::function<void(double share, const std::string& what)> progress;  ///< may be empty
};

/// A cell, what it was made into, how it moves, and what was found.
struct Proof {
  std::shared_ptr<const Scene> scene;  ///< holds the cell
  std::shared_ptr<const Cycle> cycle;
  Report report;
  bool cancelled = false;  ///< stopped before the end: the report is not to be used
};

Input<Proof> prove(const Cell& cell, const Run& run = {});

}  // namespace cellproof
