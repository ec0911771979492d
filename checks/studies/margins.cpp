// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/margins.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/closest_pairs.hpp"

namespace cellproof {

namespace {

/// Margins by name, the worst value of each.
class Worst {
 public:
  void add(const std::string& check, const std::string& name, const std::string& unit, double value,
           bool more_is_better) {
    if (!std::isfinite(value)) return;
    const auto known = std::find_if(margins_.begin(), margins_.end(),
                                    [&](const Margin& m) { return m.check == check && m.name == name; });
    if (known == margins_.end())
      margins_.push_back({check, name, unit, value, more_is_better});
    else
      known->value = more_is_better ? std::min(known->value, value) : std::max(known->value, value);
  }
  void add(const std::string& check, const std::string& name, const std::string& unit,
           const std::optional<double>& value, bool more_is_better) {
    if (value) add(check, name, unit, *value, more_is_better);
  }
  std::vector<Margin> take() { return std::move(margins_); }

 private:
  std::vector<Margin> margins_;
};

constexpr bool more = true, less = false;

bool moves(StretchKind kind) {
  return kind == StretchKind::joint || kind == StretchKind::linear;
}

void add_gaps(const Report& report, const std::vector<ClosestFigure>& pairs, Worst& worst) {
  for (const StepFigure& step : report.steps)
    if (step.clearance) worst.add("clearance", "least gap", "mm", step.clearance->lower_mm, more);
  for (const ClosestFigure& pair : pairs) {
    const auto& [a, b] = pair_name(pair.between);
    worst.add("clearance", a + " / " + b, "mm", pair.lower_mm, more);
  }
}

void add_joints(const Report& report, Worst& worst) {
  for (const StepFigure& step : report.steps)
    if (moves(step.kind))
      worst.add("limits", "room to the nearest joint limit", "deg", degrees(step.limit_margin), more);
  for (const StepFigure& step : report.steps)
    if (moves(step.kind)) worst.add("singularity", "least manipulability", "", step.manipulability, more);
}

void add_views(const Cell& cell, const Report& report, Worst& worst) {
  for (const ViewFigure& figure : report.views)
    for (const TargetView& target : figure.view.targets) {
      const std::string name = cell.cameras[figure.view.camera].name + ": " + cell.targets[target.target].name;
      worst.add("sightline", name + ", visible", "%", 100 * target.visible, more);
      worst.add("sightline", name + ", a pixel", "mm", target.mm_per_pixel, less);
    }
}

void add_forces(const Report& report, Worst& worst) {
  for (const GripFigure& grip : report.grips)
    worst.add("grip", fmt::format("{} in {}, held", grip.part, grip.tcp), "times", grip.factor, more);
  for (const GripFigure& grip : report.grips)
    worst.add("grip", fmt::format("{} in {}, least contact of a pad", grip.part, grip.tcp), "mm^2",
              grip.pad_contact_mm2, more);
  for (const WristFigure& wrist : report.wrist) {
    worst.add("wrist", "carried mass", "kg", wrist.mass_kg, less);
    worst.add("wrist", "its centre from the flange", "mm", wrist.offset_mm, less);
    for (const auto& axis : wrist.axes)
      worst.add("wrist", fmt::format("moment about axis {}", axis.axis), "N m", axis.moment_nm, less);
  }
  for (const HoldFigure& hold : report.holds) {
    worst.add("hold", hold.name + ", held", "times", hold.factor, more);
    worst.add("hold", hold.name + ", slip", "times", hold.slip, more);
    worst.add("hold", hold.name + ", tip", "times", hold.tip, more);
    worst.add("hold", hold.name + ", lift", "times", hold.lift, more);
    worst.add("hold", hold.name + ", least contact of a pad", "mm^2", hold.pad_contact_mm2, more);
  }
  for (const ReleaseFigure& release : report.releases)
    worst.add("release", fmt::format("{} in {}, its centre within the edge", release.part, release.seat), "mm",
              release.centre_inside_mm, more);
}

void add_supplies(const Report& report, Worst& worst) {
  for (const SupplyFigure& supply : report.supplies) {
    worst.add("supply", supply.name + ", vacuum counted on", "kPa", supply.counted_kpa, more);
    worst.add("supply", supply.name + ", to draw down", "s", supply.evacuation_s, less);
    worst.add("supply", supply.name + ", holds after a loss", "s", supply.held_after_loss_s, more);
    worst.add("supply", supply.name + ", to lay down", "s", supply.needed_to_lay_down_s, less);
    worst.add("supply", supply.name + ", free air a cycle", "L", supply.air_litres, less);
  }
}

/// Behind the last margin of the same question.
std::vector<ComparedMargin>::iterator behind(std::vector<ComparedMargin>& all, const std::string& check) {
  const auto last =
      std::find_if(all.rbegin(), all.rend(), [&](const ComparedMargin& other) { return other.margin.check == check; });
  return last == all.rend() ? all.end() : last.base();
}

bool among(const std::vector<Finding>& findings, const Finding& finding) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& other) { return identity(other) == identity(finding); });
}

/// The pairs among the closest of some version.
std::vector<PairName> told_pairs(const std::vector<Proof>& versions) {
  std::vector<PairName> told;
  for (const Proof& proof : versions)
    for (const ClosestFigure& pair : proof.report.closest)
      if (const PairName name = pair_name(pair.between); std::ranges::find(told, name) == told.end())
        told.push_back(name);
  return told;
}

/// A version's closest pairs, then what is further apart in it and told of others.
std::vector<ClosestFigure> with_gaps_of(const Proof& proof, std::vector<PairName> told, const Run& run) {
  std::vector<ClosestFigure> pairs = proof.report.closest;
  for (const ClosestFigure& pair : pairs) std::erase(told, pair_name(pair.between));
  std::ranges::move(gaps_of_pairs(proof, told, run), std::back_inserter(pairs));
  return pairs;
}

}  // namespace

std::vector<Margin> margins_of(const Proof& proof, const std::vector<ClosestFigure>& pairs) {
  const Report& report = proof.report;
  Worst worst;
  worst.add("cycle", "time of the longest run", "s", report.cycle_time_s, less);
  add_gaps(report, pairs, worst);
  add_joints(report, worst);
  add_views(proof.scene->cell, report, worst);
  add_forces(report, worst);
  add_supplies(report, worst);
  return worst.take();
}

bool ComparedMargin::changed(std::size_t version) const {
  const auto by = change(version);
  const double size = by ? std::max(std::abs(*values.front()), std::abs(*values[version])) : 0;
  return by && std::abs(*by) > (margin.check == "clearance" ? known_to(size) : 1e-6 * size);
}

std::optional<double> ComparedMargin::change(std::size_t version) const {
  if (!values.front() || !values.at(version)) return {};
  return *values[version] - *values.front();
}

std::vector<ComparedMargin> compared(const std::vector<Proof>& versions, const Run& run) {
  const std::vector<PairName> told = told_pairs(versions);
  std::vector<ComparedMargin> all;
  for (std::size_t i = 0; i < versions.size(); ++i)
    for (const Margin& margin : margins_of(versions[i], with_gaps_of(versions[i], told, run))) {
      auto known = std::find_if(all.begin(), all.end(), [&](const ComparedMargin& other) {
        return other.margin.check == margin.check && other.margin.name == margin.name;
      });
      if (known == all.end())
        known = all.insert(behind(all, margin.check), {margin, std::vector<std::optional<double>>(versions.size())});
      known->values[i] = margin.value;
    }
  return all;
}

std::vector<Finding> failures_of(const Report& report) {
  std::vector<Finding> failures;
  for (const Finding& finding : report.findings)
    if (finding.severity == Severity::fail && !among(failures, finding)) failures.push_back(finding);
  return failures;
}

std::vector<Finding> failures_beside(const Report& version, const Report& other) {
  const std::vector<Finding> known = failures_of(other);
  std::vector<Finding> own;
  for (const Finding& finding : failures_of(version))
    if (!among(known, finding)) own.push_back(finding);
  return own;
}

}  // namespace cellproof
