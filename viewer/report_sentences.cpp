// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/report_sentences.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include <fmt/format.h>

namespace cellproof {

namespace {

/// Rounded to a tenth, as it is shown.
double without_minus_zero(double value) {
  return std::abs(value) < 0.05 ? 0 : value;
}

/// Where a grip or release fails at its end, the line that begins there need not.
bool comes_as_close(const StepFigure& step, const Finding& finding) {
  return step.clearance && finding.judged && step.clearance->lower_mm <= finding.judged->measured + 1e-9;
}

std::string target_text(const Scene& scene, const TargetView& target) {
  std::string text =
      fmt::format("'{}' visible {:.1f} %, in frame {:.1f} %, facing {:.1f} deg", scene.cell.targets[target.target].name,
                  100 * target.visible, 100 * target.in_frame, degrees(target.facing));
  if (std::isfinite(target.mm_per_pixel)) text += fmt::format(", {:.3f} mm a pixel", target.mm_per_pixel);
  if (target.in_focus) text += *target.in_focus ? ", in focus" : ", out of focus";
  if (target.rim) text += fmt::format(", lens rim {}", rim_word(*target.rim));
  return text;
}

std::string words_of_gap(const std::optional<ClearanceFigure>& gap) {
  if (!gap) return "-";
  return gap->upper_mm == 0 ? "touch" : fmt::format("{:.1f}", gap->lower_mm);
}

std::string factor_text(const char* name, const std::optional<double>& factor) {
  return factor ? fmt::format(", {} {:.2f}", name, *factor) : "";
}

/// The least contact of a jaw's pads, where they are modelled.
std::string pads_text(const std::optional<double>& contact_mm2) {
  return contact_mm2 ? fmt::format("; each pad meets it on {:.1f} mm^2 at least", *contact_mm2) : "";
}

/// " of rack 2", where runs have names.
template <class Figure>
std::string run_words(const Figure& figure) {
  return figure.run.empty() ? "" : " of " + figure.run;
}

/// One of those that are of the same thing: the one with the least.
template <class Figure, class Same, class Least>
std::vector<const Figure*> weakest_of(const std::vector<Figure>& figures, const Same& same, const Least& least) {
  std::vector<const Figure*> weakest;
  for (const Figure& figure : figures) {
    const auto known = std::ranges::find_if(weakest, [&](const Figure* one) { return same(*one, figure); });
    if (known == weakest.end())
      weakest.push_back(&figure);
    else if (least(figure) < least(**known))
      *known = &figure;
  }
  return weakest;
}

constexpr double nothing_demanded = std::numeric_limits<double>::infinity();

double least_of_grip(const GripFigure& grip) {
  return grip.factor.value_or(nothing_demanded);
}

double least_of_hold(const HoldFigure& hold) {
  return hold.factor.value_or(nothing_demanded);
}

void take_greater(const WristFigure::Axis& axis, WristFigure::Axis& greatest) {
  greatest.moment_nm = std::max(greatest.moment_nm, axis.moment_nm);
  if (axis.inertia_kgm2) greatest.inertia_kgm2 = std::max(greatest.inertia_kgm2.value_or(0), *axis.inertia_kgm2);
}

std::string grip_sentence(const GripFigure& grip) {
  std::string line = fmt::format("'{}' in '{}': {:.1f} N", grip.part, grip.tcp, grip.force_n);
  line += grip.factor ? fmt::format(", held {:.2f} times at the least, at {:.2f} s in \"{}\"{}{}", *grip.factor,
                                    grip.time_s, grip.step, run_words(grip), grip.in_stop ? " (emergency stop)" : "")
                      : ", nothing pulls at it";
  line += factor_text("pull", grip.pull) + factor_text("slip", grip.slip) + factor_text("peel", grip.peel);
  line += pads_text(grip.pad_contact_mm2);
  return line;
}

/// "held 1.23 times (turn) with the cut at (40, -12) mm towards 90 deg".
std::string held_text(const HoldFigure& hold) {
  if (!hold.factor) return ", nothing pulls at it";
  std::string text = fmt::format(", held {:.2f} times", *hold.factor);
  if (!hold.gives_by.empty()) text += fmt::format(" ({})", hold.gives_by);
  if (hold.worst_at_mm)
    text += fmt::format(" with the cut at ({:.0f}, {:.0f}) mm", hold.worst_at_mm->x(), hold.worst_at_mm->y());
  if (hold.worst_towards_deg) text += fmt::format(" towards {:.0f} deg", *hold.worst_towards_deg);
  if (hold.best_factor)
    text += fmt::format(", {:.2f} if all rests share the load as well as can be", *hold.best_factor);
  return text + "; each by itself";
}

/// " against 390 N from the side (241 N on the average) and 211 N of lift, estimated from …".
std::string cut_text(const CutFigure& cut) {
  std::vector<std::string> forces;
  if (cut.side_force_n > 0) forces.push_back(fmt::format("{:.0f} N from the side", cut.side_force_n));
  if (cut.side_force_n > 0 && cut.side_force_mean_n)
    forces.back() += fmt::format(" ({:.0f} N on the average)", *cut.side_force_mean_n);
  if (cut.lift_force_n > 0) forces.push_back(fmt::format("{:.0f} N of lift", cut.lift_force_n));
  if (cut.thrust_n > 0) forces.push_back(fmt::format("{:.0f} N of thrust", cut.thrust_n));
  if (forces.empty()) return {};
  std::string text = fmt::format(" against {}", fmt::join(forces, " and "));
  if (cut.from == "power") text += ", estimated from power to within 50 %";
  if (cut.from == "cutter")
    text += fmt::format(", estimated from the cutter to within 50 % ({:.3f} mm a tooth, chips of {:.3f} mm, {:.2f} kW)",
                        *cut.feed_per_tooth_mm, *cut.thickest_chip_mm, *cut.power_w / 1000);
  return text;
}

std::string hold_sentence(const HoldFigure& hold) {
  std::string line = fmt::format("'{}' on '{}'{}: {:.1f} N", hold.name, hold.part, run_words(hold), hold.force_n);
  if (hold.cut) line += cut_text(*hold.cut);
  line += held_text(hold);
  line += factor_text("slip", hold.slip) + factor_text("tip", hold.tip) + factor_text("lift", hold.lift);
  if (hold.estimated)
    line += "; with half as much again" + factor_text("held", hold.factor_at_more) +
            factor_text("slip", hold.slip_at_more) + factor_text("tip", hold.tip_at_more) +
            factor_text("lift", hold.lift_at_more);
  line += pads_text(hold.pad_contact_mm2);
  return line;
}

double least_of_release(const ReleaseFigure& release) {
  if (release.held_by == "nothing") return -nothing_demanded;
  return release.centre_inside_mm.value_or(nothing_demanded);
}

std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (const auto& name : names) text += fmt::format("{}'{}'", text.empty() ? "" : ", ", name);
  return text;
}

std::string centre_text(const ReleaseFigure& release) {
  if (!release.centre_inside_mm) return release.held_by == "nothing" ? ", which can't carry it" : "";
  const double inside = *release.centre_inside_mm;
  std::string text = fmt::format(", its centre {:.2f} mm {} the edge of what carries it, ", std::abs(inside),
                                 inside > 0 ? "within" : "past");
  if (!release.friction) return text + "without friction";
  return text + fmt::format("with friction of {:g}{}", *release.friction, release.friction_assumed ? ", assumed" : "");
}

std::string release_sentence(const ReleaseFigure& release) {
  std::string line = fmt::format("'{}' in '{}', {}: ", release.part, release.seat,
                                 release.step.empty() ? "at the start" : fmt::format("after \"{}\"", release.step));
  if (!release.hold.empty()) return line + fmt::format("taken by '{}'", release.hold);
  if (!release.rests_on.empty()) return line + "on " + listed(release.rests_on) + centre_text(release);
  if (release.held_by == "drop") return line + fmt::format("dropped {:.1f} mm", release.air_mm.value_or(0));
  if (release.held_by == "unknown") return line + "nothing modelled holds it";
  return line + (release.air_mm ? fmt::format("{:.2f} mm above what is below", *release.air_mm) : "nothing is below");
}

/// How long a supply keeps the weakest grip, beside how long laying down takes.
std::string loss_text(const SupplyFigure& supply) {
  std::string text;
  if (supply.held_after_loss_s)
    text += fmt::format("; after a loss a part is kept {:.2f} s", *supply.held_after_loss_s);
  else if (supply.weakest)
    text += "; after a loss a part is kept, as nothing leaks";
  if (supply.weakest && supply.weakest_factor)
    text += fmt::format(" (held {:.2f} times at \"{}\")", *supply.weakest_factor, supply.weakest->step);
  if (supply.needed_to_lay_down_s)
    text += fmt::format("; laying it down takes {:.2f} s at most", *supply.needed_to_lay_down_s);
  if (supply.furthest && *supply.needed_to_lay_down_s > 0)
    text += fmt::format(", from \"{}\", {:.2f} s", supply.furthest->step, supply.furthest->time_s);
  return text;
}

std::string supply_sentence(const SupplyFigure& supply) {
  std::string line = fmt::format("'{}': reaches {:.1f} kPa, {:.1f} kPa counted on", supply.name, supply.reached_kpa,
                                 supply.counted_kpa);
  if (supply.evacuation_s)
    line += fmt::format(", there after {:.2f} s (let the controller give up after {:.1f} s)", *supply.evacuation_s,
                        *supply.timeout_s);
  line += loss_text(supply);
  if (supply.air_litres) line += fmt::format("; {:.2f} L of free air a cycle", *supply.air_litres);
  return line;
}

std::string load_sentence(const Report& report) {
  const WristFigure* heaviest = &report.wrist.front();
  std::map<int, WristFigure::Axis> axes;
  for (const WristFigure& load : report.wrist) {
    if (load.mass_kg > heaviest->mass_kg) heaviest = &load;
    for (const WristFigure::Axis& axis : load.axes) take_greater(axis, axes.try_emplace(axis.axis, axis).first->second);
  }
  std::string line = fmt::format("{:.3f} kg in \"{}\", its centre {:.1f} mm from the flange", heaviest->mass_kg,
                                 heaviest->step, heaviest->offset_mm);
  for (const auto& [number, axis] : axes) {
    line += fmt::format("; axis {}: {:.2f} N m", number, axis.moment_nm);
    if (axis.inertia_kgm2) line += fmt::format(", {:.4f} kg m^2", *axis.inertia_kgm2);
  }
  return line;
}

std::string torque_sentence(const Report& report) {
  std::string line = "greatest joint torques, friction left out, N m:";
  for (const auto& torque : report.torques) line += fmt::format(" {:.1f}", torque.torque_nm);
  return line;
}

}  // namespace

const StepFigure* tightest_step(const Report& report) {
  const StepFigure* tightest = nullptr;
  for (const auto& step : report.steps)
    if (step.clearance && (!tightest || step.clearance->lower_mm < tightest->clearance->lower_mm)) tightest = &step;
  return tightest;
}

std::vector<std::string> verdict_sentences(const Proof& proof, const std::vector<SeatResult>& seats) {
  const Report& report = proof.report;
  std::size_t triangles = 0;
  for (const auto& body : report.bodies) triangles += body.triangles;
  std::vector<std::string> sentences{
      fmt::format("{}: {}{}", report.cell, report.pass ? "PASS" : "FAIL", count_words(proof, seats))};
  const StepFigure* tightest = tightest_step(report);
  if (report.pass && tightest)
    sentences.push_back(
        fmt::format("No interference found in the model, least gap {:.2f} mm, '{}' to '{}', step \"{}\", {:.2f} s.",
                    tightest->clearance->lower_mm, tightest->clearance->between[0], tightest->clearance->between[1],
                    tightest->name, tightest->clearance->time_s));
  sentences.push_back(fmt::format("Cycle {:.2f} s; {} bodies, {} triangles; checked in {:.2f} s.", report.cycle_time_s,
                                  report.bodies.size(), triangles, report.check_time_s));
  return sentences;
}

ViewSentences view_sentences(const Scene& scene, const ViewFigure& figure) {
  ViewSentences sentences;
  const std::string& camera = scene.cell.cameras[figure.view.camera].name;
  sentences.head = fmt::format("'{}' at \"{}\"", camera, figure.step);
  for (const auto& target : figure.view.targets) sentences.targets.push_back(target_text(scene, target));
  for (const auto& blocked : figure.view.blocked_by)
    sentences.blockers.push_back(
        fmt::format("'{}' takes {:.1f} % of the picture", scene.bodies[blocked.body].name, 100 * blocked.share));
  return sentences;
}

std::vector<std::string> grip_sentences(const Report& report) {
  const auto same = [](const GripFigure& one, const GripFigure& other) {
    return one.part == other.part && one.tcp == other.tcp;
  };
  std::vector<std::string> sentences;
  for (const GripFigure* grip : weakest_of(report.grips, same, least_of_grip))
    sentences.push_back(grip_sentence(*grip));
  return sentences;
}

std::vector<std::string> hold_sentences(const Report& report) {
  const auto same = [](const HoldFigure& one, const HoldFigure& other) {
    return one.name == other.name && one.part == other.part;
  };
  std::vector<std::string> sentences;
  for (const HoldFigure* hold : weakest_of(report.holds, same, least_of_hold))
    sentences.push_back(hold_sentence(*hold));
  return sentences;
}

std::vector<std::string> release_sentences(const Report& report) {
  const auto same = [](const ReleaseFigure& one, const ReleaseFigure& other) {
    return one.part == other.part && one.step == other.step;
  };
  std::vector<std::string> sentences;
  for (const ReleaseFigure* release : weakest_of(report.releases, same, least_of_release))
    sentences.push_back(release_sentence(*release));
  return sentences;
}

std::vector<std::string> supply_sentences(const Report& report) {
  std::vector<std::string> sentences;
  for (const SupplyFigure& supply : report.supplies) sentences.push_back(supply_sentence(supply));
  return sentences;
}

std::vector<std::string> wrist_sentences(const Report& report) {
  std::vector<std::string> sentences;
  if (!report.wrist.empty()) sentences.push_back(load_sentence(report));
  if (!report.torques.empty()) sentences.push_back(torque_sentence(report));
  return sentences;
}

std::vector<std::string> configuration_sentences(const Report& report, const std::string& run,
                                                 const std::string& others) {
  std::vector<std::string> sentences;
  std::string last;
  for (const auto& step : report.steps) {
    if (step.run != run || step.others != others || step.configuration == last) continue;
    last = step.configuration;
    sentences.push_back(fmt::format("from {:.2f} s, \"{}\": {}", step.start_s, step.name, last));
  }
  return sentences;
}

std::string closest_words(const ClosestFigure& pair) {
  return fmt::format("{} / {}, \"{}\"{}, {:.2f} s", pair.between[0], pair.between[1], pair.step,
                     pair.run.empty() ? "" : " of " + pair.run, pair.time_s);
}

std::string gap_words(const StepFigure& step) {
  return words_of_gap(step.to_surroundings);
}

std::string own_gap_words(const StepFigure& step) {
  return words_of_gap(step.among_own);
}

std::string steady_words(const SteadyFigure& pair) {
  return fmt::format("{} / {}{}", pair.between[0], pair.between[1],
                     pair.lower_mm < pair.asked_mm ? fmt::format(", {:g} mm asked", pair.asked_mm) : "");
}

std::string room_words(const StepFigure& step) {
  return fmt::format("{:.1f}", without_minus_zero(degrees(step.limit_margin)));
}

bool fails_in(const Report& report, const StepFigure& step) {
  return std::any_of(report.findings.begin(), report.findings.end(), [&](const Finding& finding) {
    return finding.severity == Severity::fail && finding.run == step.run && finding.others == step.others &&
           finding.step == step.name && (finding.check == Check::sightline) == (step.kind == StretchKind::look) &&
           finding.time_s && *finding.time_s >= step.start_s && *finding.time_s <= step.end_s &&
           (finding.check != Check::clearance || comes_as_close(step, finding));
  });
}

}  // namespace cellproof
