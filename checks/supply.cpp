// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/supply.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/grip_mend.hpp"
#include "checks/told_apart.hpp"
#include "scene/basics/atmosphere.hpp"

namespace cellproof {

namespace {

constexpr double mm3_per_litre = 1e6, mm3_s_per_litre_min = 1e6 / 60;

class SupplyFindings {
 public:
  SupplyFindings(const Evidence& evidence, const SupplyMeasure& measure, std::vector<Finding>& findings)
      : evidence_(evidence),
        cell_(evidence.scene.cell),
        supply_(cell_.supplies[measure.supply]),
        measure_(measure),
        findings_(findings) {}

  void look() {
    if (!(measure_.reached > 0))
      add_leak();
    else if (switch_never_comes())
      add_switch();
    else if (measure_.kept && measure_.lay_down && measure_.kept->seconds < measure_.lay_down->seconds)
      add_loss(*measure_.kept, *measure_.lay_down);
    for (const OpenedBeside& opened : measure_.opened) add_opened(opened);
  }

 private:
  Finding& add(Severity severity, std::vector<std::string> between, std::string message, std::string mend) {
    Finding& finding = findings_.emplace_back();
    finding.check = Check::supply;
    finding.severity = severity;
    finding.between = std::move(between);
    finding.message = std::move(message);
    finding.mend = std::move(mend);
    return finding;
  }

  void put_place(Finding& finding, const CyclePlace& at) const {
    const CycleRun& run = evidence_.cycle.runs[at.run];
    finding.run = run.name;
    finding.others = run.others;
    finding.step = run.stretches[at.stretch].step;
    finding.time_s = at.time_s;
  }

  bool switch_never_comes() const {
    const double any_volume = 1;
    return supply_.switch_at && std::isinf(evacuation_time(line_of(supply_, ambient_pressure(cell_.rules.altitude)),
                                                           any_volume, *supply_.switch_at));
  }

  void add_leak() {
    const double most = supply_.flow.front().flow / mm3_s_per_litre_min, leak = supply_.leak / mm3_s_per_litre_min;
    Finding& finding = add(Severity::fail, {supply_.name},
                           fmt::format("'{}' reaches no vacuum: {} L/min leak in, and it draws {} L/min at most",
                                       supply_.name, told_from(leak, most, 2), told_from(most, leak, 2)),
                           "seal the zones, or take a source that draws several times what leaks");
    finding.judged = {leak, most, "L/min"};
  }

  void add_switch() {
    const double at = *supply_.switch_at / 1000, reached = measure_.reached / 1000;
    constexpr double share_in_good_time = 0.95;
    Finding& finding = add(
        Severity::fail, {supply_.name},
        fmt::format("the switch of '{}' stands at {} kPa, but only {} kPa are reached: the controller waits for ever",
                    supply_.name, told_from(at, reached, 1), told_from(reached, at, 1)),
        fmt::format("switch = \"{:g} kPa\" or less, or less leak, or a source that reaches more",
                    rounded_down(share_in_good_time * reached)));
    finding.judged = {at, reached, "kPa"};
  }

  void add_loss(const KeptMeasure& kept, const LayDownMeasure& lay_down) {
    Finding& finding = add(
        Severity::caution, {supply_.name},
        fmt::format("if air or power fails, what '{}' carries is kept {} s, {}, and laying it down takes up to {} s",
                    supply_.name, told_from(kept.seconds, lay_down.seconds, 2),
                    supply_.check_valve ? fmt::format("until it holds just once at \"{}\"", step_of(kept.at))
                                        : "as no check valve keeps the vacuum",
                    told_from(lay_down.seconds, kept.seconds, 2)),
        mend_of_loss(kept, lay_down));
    finding.judged = {kept.seconds, lay_down.seconds, "s"};
    put_place(finding, lay_down.at);
  }

  const std::string& step_of(const CyclePlace& at) const {
    return evidence_.cycle.runs[at.run].stretches[at.stretch].step;
  }

  /// The time is in proportion to volume over leak.
  std::string mend_of_loss(const KeptMeasure& kept, const LayDownMeasure& lay_down) const {
    if (!supply_.check_valve) return "fit a check valve at the source and say so: check_valve = true";
    if (!(kept.factor > 1)) return "a stronger grip: at this vacuum it holds no more than once";
    constexpr double most_litres = 1000;
    const double times = lay_down.seconds / kept.seconds;
    const double more =
        kept_volume(cell_, supply_, cell_.tcps[kept.tcp].suction).value_or(0) * (times - 1) / mm3_per_litre;
    std::string text = fmt::format("leak = \"{:g} L/min\" at the most, as measured on the sealed part",
                                   rounded_down(supply_.leak / times / mm3_s_per_litre_min, 2));
    if (more < most_litres)
      text += fmt::format("; or {:g} L more volume behind the check valve, which takes longer to draw down",
                          rounded_up(more));
    return text + "; or a stronger grip";
  }

  void add_opened(const OpenedBeside& opened) {
    Finding& finding = add(
        Severity::caution, {opened.opened, opened.holds},
        fmt::format("'{}' is open to ambient while '{}' holds, and both hang on '{}': the vacuum that holds falls",
                    opened.opened, opened.holds, supply_.name),
        "give one of them a [[vacuum]] of its own, or part them by a check valve in each branch and enter each branch "
        "as one");
    put_place(finding, opened.at);
  }

  const Evidence& evidence_;
  const Cell& cell_;
  const Supply& supply_;
  const SupplyMeasure& measure_;
  std::vector<Finding>& findings_;
};

}  // namespace

std::vector<Finding> check_supply(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const SupplyMeasure& measure : evidence.measures.supplies) SupplyFindings(evidence, measure, findings).look();
  return findings;
}

}  // namespace cellproof
