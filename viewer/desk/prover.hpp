// SPDX-License-Identifier: GPL-3.0-or-later
// Reading and proving a cell beside the drawing.
#pragma once

#include <atomic>
#include <filesystem>
#include <memory>
#include <string>

#include "checks/prove.hpp"
#include "scene/clearance/pair_results.hpp"
#include "viewer/desk/background.hpp"
#include "viewer/desk/moving.hpp"
#include "viewer/desk/watch.hpp"

namespace cellproof {

/// What came of a proof: the proof, or why there is none.
struct ProofAnswer {
  std::shared_ptr<const Proof> proof;
  std::string error;           ///< one line; empty with a proof
  std::optional<Watch> watch;  ///< over the cell's files, or the cell file alone if it can't be read, as they were read
  std::string mover;           ///< what was placed elsewhere than the file says; empty: nothing
  Placement placement;
};

/// One proof at a time; the next request cancels it. What is found about pairs is kept from proof to proof.
class Prover {
 public:
  /// Reads the file again and proves it.
  void prove_file(const std::filesystem::path& file);
  /// Proves the file's cell with something placed elsewhere.
  void prove_moved(const Cell& cell, const std::string& mover, const Placement& placement);

  std::optional<ProofAnswer> take() { return work_.take(); }
  bool busy() const { return work_.busy(); }
  double share() const { return share_->load(); }  ///< 0 … 1 of the proof that runs

 private:
  void begin(std::function<ProofAnswer(const Run&)> prove);

  std::shared_ptr<PairResults> results_ = std::make_shared<PairResults>();
  std::shared_ptr<std::atomic<double>> share_ = std::make_shared<std::atomic<double>>(0.0);
  Background<ProofAnswer> work_;
};

}  // namespace cellproof
