// SPDX-License-Identifier: GPL-3.0-or-later
// Proofs of small cells.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "checks/prove.hpp"
#include "tests/support/small_cell.hpp"

namespace cellproof::test {

inline Proof proof_of(const std::string& text, int threads = 1) {
  Run run;
  run.threads = threads;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  return *proof;
}

/// The same of a cycle that can be run to its end.
inline Proof proved(const std::string& text) {
  Proof proof = proof_of(text);
  for (const auto& entry : proof.cycle->runs)
    if (entry.failure) FAIL(entry.failure->message);
  return proof;
}

inline std::vector<Finding> findings_of(const Report& report, const std::string& check) {
  std::vector<Finding> mine;
  for (const auto& finding : report.findings)
    if (name_of(finding.check) == check) mine.push_back(finding);
  return mine;
}

/// The findings of a check that fail.
inline std::vector<Finding> fails_of(const Report& report, const std::string& check) {
  auto mine = findings_of(report, check);
  mine.erase(std::remove_if(mine.begin(), mine.end(),
                            [](const Finding& finding) { return finding.severity != Severity::fail; }),
             mine.end());
  return mine;
}

}  // namespace cellproof::test
