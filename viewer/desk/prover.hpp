// SPDX-License-Identifier: GPL-3.0-or-later
// Reading and proving a cell beside the drawing.
#pragma once

#include <filesystem>
#include <memory>
#include <mutex>
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
  bool proved = true;          ///< false: the cell and its plan alone, with an empty report, to be seen meanwhile
  std::string error;           ///< one line; empty with a proof
  std::optional<Watch> watch;  ///< over the cell's files, or the cell file alone if it can't be read, as they were read
  std::string mover;           ///< what was placed elsewhere than the file says; empty: nothing
  Placement placement;
};

/// How far a proof has come.
struct ProofProgress {
  double share = 0;  ///< 0 … 1
  std::string what;  ///< that is done now
};

/// One proof at a time; the next request cancels it. What is found about pairs is kept from proof to proof.
class Prover {
 public:
  /// Reads the file again and proves it. The cell itself is there to take as soon as its models are open.
  void prove_file(const std::filesystem::path& file);
  /// Proves the file's cell with something placed elsewhere.
  void prove_moved(const Cell& cell, const std::string& mover, const Placement& placement);

  /// What there is of the newest request, each once: first the cell alone, then its proof.
  std::optional<ProofAnswer> take();
  bool busy() const { return work_.busy(); }
  ProofProgress progress() const;

 private:
  /// What is told before a proof's end.
  struct SharedNews {
    std::mutex mutex;
    ProofProgress progress;
    std::optional<ProofAnswer> cell;
  };
  void begin(std::function<ProofAnswer(const Run&)> prove);
  static void show_cell(const Cell& cell, const ProofAnswer& answer, const Run& run, SharedNews& told);

  std::shared_ptr<PairResults> results_ = std::make_shared<PairResults>();
  std::shared_ptr<SharedNews> told_ = std::make_shared<SharedNews>();
  Background<ProofAnswer> work_;
};

}  // namespace cellproof
