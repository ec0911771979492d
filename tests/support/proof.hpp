// SPDX-License-Identifier: GPL-3.0-or-later
// Proofs of small cells.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"
#include "tests/support/small_cell.hpp"

namespace cellproof::test {

inline Proof proved(const std::string& text) {
  Run run;
  run.threads = 1;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  for (const auto& entry : proof->cycle->runs)
    if (entry.failure) FAIL(entry.failure->message);
  return *proof;
}

/// The findings of a check that fail.
inline std::vector<Finding> fails_of(const Report& report, const std::string& check) {
  std::vector<Finding> mine;
  for (const auto& finding : report.findings)
    if (finding.check == check && finding.severity == Severity::fail) mine.push_back(finding);
  return mine;
}

}  // namespace cellproof::test
