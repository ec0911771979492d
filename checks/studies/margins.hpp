// SPDX-License-Identifier: GPL-3.0-or-later
// A design's margins, each by a name that another version of the design has as well.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

struct Margin {
  std::string check;  ///< as a finding's; "cycle" for the time
  std::string name, unit;
  double value = std::numeric_limits<double>::quiet_NaN();
  bool more_is_better = true;
};

/// The worst of each over all runs, with the distances of the pairs given.
std::vector<Margin> margins_of(const Proof& proof, const std::vector<ClosestFigure>& pairs);

/// One margin over all versions, in the order they were given; nothing where a version has no such margin.
struct ComparedMargin {
  Margin margin;  ///< its value is that of the first version that has it
  std::vector<std::optional<double>> values;

  /// By how much a version differs from the first; nothing if one of them has no such margin.
  std::optional<double> change(std::size_t version) const;
  /// It differs by more than the figures are known to: a distance to 0.1 mm or 2 %.
  bool changed(std::size_t version) const;
};

/// By question, in the order of the first version that has each. A pair that is among the closest of one version is
/// measured over the whole cycle of every other that asks for it.
std::vector<ComparedMargin> compared(const std::vector<Proof>& versions, const Run& run);

/// What fails, told apart by question, step, bodies and run: the worst of each, worst first.
std::vector<Finding> failures_of(const Report& report);

/// The failures of one version that another does not have.
std::vector<Finding> failures_beside(const Report& version, const Report& other);

}  // namespace cellproof
