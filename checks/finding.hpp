// SPDX-License-Identifier: GPL-3.0-or-later
// One thing that is wrong or worth knowing, and when two findings say the same.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cellproof {

enum class Severity { fail, caution };

/// What was asked.
enum class Check {
  reach,
  limits,
  singularity,
  speed,
  clearance,
  sightline,
  grip,
  wrist,
  hold,
  release,
  supply,
  sequence,
  model,
};
std::string_view name_of(Check check);  ///< "reach", "limits" … as the report has it

/// A figure held against what is asked of it, both in one unit.
struct Judged {
  double measured = 0;
  std::optional<double> required;
  std::string unit;  ///< "mm", "deg", "share", "times" …
  bool operator==(const Judged&) const = default;
};

/// Message: what, by how much. Mend: what to change.
struct Finding {
  Check check = Check::model;
  Severity severity = Severity::fail;
  std::string run, step;
  std::string others;  ///< what fills the other seats, empty unless the cell names several fillings
  std::optional<double> time_s;
  std::vector<std::string> between;  ///< two names, or none
  std::vector<std::string> about;    ///< the same with any part in place of which one, where that is told once
  std::optional<Judged> judged;
  std::string message, mend;
  std::optional<std::size_t> follows_from;  ///< into the report's findings: what clears that clears this too
};

/// What a finding is about, whatever its figures.
struct FindingIdentity {
  Check check;
  std::string run, step, others;
  std::vector<std::string> between;
  bool operator==(const FindingIdentity&) const = default;
};
FindingIdentity identity(const Finding& finding);
FindingIdentity in_any_run(const Finding& finding);  ///< the same, but for run and filling

/// The same in every run and filling, and with every part: what is told once for all seats and parts.
struct FindingCause {
  Check check;
  std::string step;                ///< where no names tell what it is about
  std::vector<std::string> about;  ///< else these
  std::optional<double> required;  ///< of a clearance: a pair may break two rules
  auto operator<=>(const FindingCause&) const = default;
};
FindingCause cause(const Finding& finding);

/// True if `a` misses what is asked by more than `b`. Without figures in both, false.
bool is_worse(const Finding& a, const Finding& b);

}  // namespace cellproof
