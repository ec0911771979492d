// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <list>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/hold_mend.hpp"
#include "checks/pad_findings.hpp"
#include "checks/seal_findings.hpp"
#include "checks/told_apart.hpp"

namespace cellproof {

namespace {

Finding finding_of(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, Severity severity) {
  const Hold& hold = scene.cell.holds[measure.hold];
  Finding finding;
  finding.check = Check::hold;
  finding.severity = severity;
  finding.run = run.name;
  finding.others = run.others;
  finding.step = measure.step;
  finding.time_s = measure.time_s;
  finding.between = {hold.name, scene.cell.parts[measure.part].name};
  return finding;
}

std::string estimate_text(const HoldMeasure& measure) {
  const CutForces& cut = measure.cut;
  if (!cut.estimated()) return {};
  std::string what = fmt::format("the side force, {:.0f} N, is estimated from power", cut.side);
  if (cut.source == CutSource::cutter) {
    const double axial = cut.lift + cut.thrust;
    what = fmt::format("the cut, {:.0f} N from the side{}, is estimated from the cutter", cut.side,
                       axial > 0 ? fmt::format(" and {:.0f} N of {}", axial, cut.thrust > 0 ? "thrust" : "lift") : "");
  }
  return fmt::format("; {} to within 50 %: {:.2f} at its upper end", what, measure.factor_at_more);
}

/// "it turns, with the cut at (40, -12) mm towards 90 deg".
std::string gives_text(const HoldMeasure& measure) {
  if (!measure.limit) {
    const HoldFactors& alone = measure.factors;
    if (alone.tip <= std::min(alone.slip, alone.lift)) return "it tips";
    return alone.lift < alone.slip ? "it lifts off" : "it slips";
  }
  const FixtureLimit& limit = *measure.limit;
  std::string text = "it " + std::string(sentence_of(limit.gives));
  const auto& fixture = std::get<FixtureCase>(measure.asked);
  if (!(limit.factor > 0)) return text + " without any cut";
  if (fixture.weight_only) return text + " by its weight";
  text += fmt::format(", with the cut at ({:.0f}, {:.0f}) mm", limit.worst.place.x(), limit.worst.place.y());
  if (fixture.cut.side > 0) text += fmt::format(" towards {:.0f} deg", degrees(limit.worst.towards));
  return text;
}

std::string shared_text(const HoldMeasure& measure, double asked) {
  if (!measure.limit || measure.rests.size() <= 3 || !(measure.limit->best > measure.factor * 1.01)) return {};
  if (!std::isfinite(measure.limit->best)) return {};
  return fmt::format(
      "; which of the {} rests{} carry it no file tells: judged by the worst three, while the best share "
      "would hold {:.2f} times{}",
      measure.rests.size(), measure.rests_found ? " found from the meshes" : "", measure.limit->best,
      measure.limit->best >= asked ? ", so three rests in good places may do" : "");
}

/// A mend is tried out once, for all runs in which a part is held alike.
class Mends {
 public:
  const std::string& of(const Cell& cell, const HoldMeasure& measure) {
    for (const auto& [known, mend] : tried_)
      if (known->hold == measure.hold && known->part == measure.part && known->factor == measure.factor) return mend;
    const Hold& hold = cell.holds[measure.hold];
    return tried_.emplace_back(&measure, hold_mend(cell, hold, measure)).second;
  }

 private:
  std::list<std::pair<const HoldMeasure*, std::string>> tried_;
};

void judge_factor(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, Mends& mends,
                  std::vector<Finding>& findings) {
  const Hold& hold = scene.cell.holds[measure.hold];
  const double asked = scene.cell.rules.hold_factor;
  const bool weak = measure.factor < asked, weak_at_more = measure.factor_at_more < asked;
  if (!weak && !weak_at_more) return;
  Finding finding = finding_of(scene, run, measure, weak ? Severity::fail : Severity::caution);
  finding.judged = {weak ? measure.factor : measure.factor_at_more, asked, "times"};
  finding.message = fmt::format("'{}' holds '{}' with {:.1f} N: {} times, {:g} asked: {}{}{}", hold.name,
                                finding.between[1], measure.force, told_from(measure.factor, asked, 2), asked,
                                gives_text(measure), shared_text(measure, asked), estimate_text(measure));
  finding.mend = weak ? mends.of(scene.cell, measure)
                      : "measure the cutting force, or hold as if it were half as much again; hard stops "
                        "beside the part take what friction does not";
  findings.push_back(std::move(finding));
}

/// Where weight and force stand. Of a balance that holds it makes no odds.
void judge_place(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, std::vector<Finding>& findings) {
  if (measure.limit && measure.factor >= scene.cell.rules.hold_factor) return;
  const auto outside = [&](double inside_mm, const std::string& what, const char* mend) {
    if (!(inside_mm <= 0)) return;
    const double outside_mm = -inside_mm + 0.0;  // on the edge it is no minus zero
    Finding finding = finding_of(scene, run, measure, Severity::fail);
    finding.judged = {inside_mm, 0, "mm"};
    finding.message = fmt::format("{} falls {} mm outside the rests", what, told_from(outside_mm, 0, 2));
    finding.mend = fmt::format("{}, {} mm at least", mend, told_from(outside_mm, 0, 2));
    findings.push_back(std::move(finding));
  };
  const std::string part = scene.cell.parts[measure.part].name;
  outside(measure.mass_inside_mm, fmt::format("the weight of '{}'", part), "set a rest further out on that side");
  if (measure.force > 0)
    outside(measure.force_inside_mm, fmt::format("the force of '{}'", scene.cell.holds[measure.hold].name),
            "move the force inward or a rest outward");
}

/// What is stated and carries nothing.
void judge_beside(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, std::vector<Finding>& findings) {
  for (const Vector2d& place : measure.beside) {
    Finding finding = finding_of(scene, run, measure, Severity::caution);
    finding.message =
        fmt::format("'{}' is not at ({:g}, {:g}) mm of the seat: the rest or clamp of '{}' there counts for nothing",
                    finding.between[1], place.x(), place.y(), finding.between[0]);
    finding.mend = "put it where the part is, also once it is worked";
    findings.push_back(std::move(finding));
  }
}

}  // namespace

std::vector<Finding> check_hold(const Evidence& evidence) {
  std::vector<Finding> findings;
  Mends mends;
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r) {
    const CycleRun& run = evidence.cycle.runs[r];
    for (const auto& held : evidence.measures.holds[r]) {
      if (held.measure) {
        judge_factor(evidence.scene, run, *held.measure, mends, findings);
        judge_place(evidence.scene, run, *held.measure, findings);
        judge_beside(evidence.scene, run, *held.measure, findings);
      }
      Finding place;
      place.run = run.name;
      place.others = run.others;
      for (const auto& cover : held.covers) {
        place.step = cover.step;
        place.time_s = cover.time_s;
        add_seal_findings(evidence.scene, Check::hold, place, cover.part, cover.covers, findings);
      }
      for (const auto& pads : held.pads) {
        place.step = pads.step;
        place.time_s = pads.time_s;
        add_pad_findings(evidence.scene, Check::hold, place, pads.pads, findings);
      }
    }
  }
  return findings;
}

}  // namespace cellproof
