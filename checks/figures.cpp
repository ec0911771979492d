// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/figures.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/closest_pairs.hpp"
#include "checks/each_stretch.hpp"
#include "checks/force_figures.hpp"
#include "checks/measured_cycle.hpp"
#include "kinematics/inverse/configuration_name.hpp"

namespace cellproof {

namespace {

BodyFigure body_figure(const SceneBody& body) {
  BodyFigure figure;
  figure.name = body.name;
  figure.kind = body.kind;
  figure.triangles = body.solid->mesh().triangles.size();
  figure.closed = body.solid->closed().closed;
  figure.area_mm2 = surface_area(body.solid->mesh());
  if (figure.closed) figure.volume_mm3 = solid_properties(body.solid->mesh()).volume;
  figure.box = body.solid->box();
  return figure;
}

std::optional<ClearanceFigure> clearance_figure(const Scene& scene, const Stretch& stretch,
                                                const StretchMeasures& measures) {
  if (!measures.clearance.closest) return std::nullopt;
  const std::size_t closest = *measures.clearance.closest;
  const PairAsked& asked = measures.pairs[closest];
  const PairClearance& pair = measures.clearance.pairs[closest];
  ClearanceFigure figure;
  figure.lower_mm = measures.clearance.lower_mm;
  figure.upper_mm = measures.clearance.upper_mm;
  figure.between = {scene.bodies[asked.a].name, scene.bodies[asked.b].name};
  figure.time_s = time_at(stretch, pair.share);
  figure.points = pair.points;
  return figure;
}

std::optional<ClearanceFigure> gap_figure(const Scene& scene, const Stretch& stretch,
                                          const std::optional<LeastGap>& gap) {
  if (!gap) return std::nullopt;
  return ClearanceFigure{gap->lower_mm,
                         gap->found.upper_mm,
                         {scene.bodies[gap->a].name, scene.bodies[gap->b].name},
                         time_at(stretch, gap->found.share),
                         gap->found.points};
}

StepFigure step_figure(const Scene& scene, const CycleRun& run, const Stretch& stretch,
                       const StretchMeasures& measures) {
  StepFigure figure;
  figure.name = stretch.step;
  figure.run = run.name;
  figure.others = others_told(scene.cell, run);
  figure.kind = stretch.kind;
  figure.start_s = stretch.start_s;
  figure.end_s = stretch.end_s;
  figure.joints_end = stretch.motion.path.end();
  figure.configuration = configuration_name(scene.cell.arm.arm, figure.joints_end);
  figure.limit_margin = measures.path.limit_margin;
  figure.manipulability = measures.path.manipulability;
  figure.grasp_turn = stretch.grasp_turn;
  figure.clearance = clearance_figure(scene, stretch, measures);
  figure.to_surroundings = gap_figure(scene, stretch, measures.to_surroundings);
  figure.among_own = gap_figure(scene, stretch, measures.among_own);
  figure.clearance_over_time = measures.curve;
  return figure;
}

/// Touching is asked of every pair.
double owed_mm(const SteadyPair& pair) {
  return pair.least_mm > touching_mm ? pair.least_mm : 0;
}

std::vector<std::string> cautions_of(const Cell& cell) {
  std::vector<std::string> cautions = cell.cautions;
  for (const auto& contact : cell.rules.contacts)
    cautions.push_back(fmt::format("'{}' against '{}' is not checked: the file lets them touch ([[contact]], line {})",
                                   contact.between[0], contact.between[1], contact.origin.line));
  if (std::any_of(cell.tcps.begin(), cell.tcps.end(), [](const Tcp& tcp) { return !tcp.suction.empty(); }) ||
      std::any_of(cell.holds.begin(), cell.holds.end(), [](const Hold& hold) { return !hold.suction.empty(); }))
    cautions.emplace_back("vacuum can fail at once, whatever the factor: a hose, a seal, the mains");
  if (!cell.tcps.empty() || !cell.holds.empty())
    cautions.emplace_back(
        "holding forces, friction and cutting forces are estimates from the figures in the file: measure them on the "
        "cell");
  cautions.emplace_back(
      "hoses, cables, chips, coolant, calibration error and bending are not in the model unless entered as bodies");
  cautions.emplace_back(
      "this result supports a risk assessment and never replaces one (ISO 12100, ISO 10218): a competent, where "
      "required licensed, person "
      "assesses the finished cell under local codes; make the first run at reduced speed");
  return cautions;
}

std::vector<std::string> not_computed(const Evidence& evidence) {
  std::vector<std::string> list;
  for (auto& line : forces_not_computed(evidence)) list.push_back(std::move(line));
  list.emplace_back(
      "how deep bodies cut where contact is meant, on the way: it is measured at grips and releases (`contact_depth`), "
      "and at the ends of moves where [[contact]] frees a pair");
  std::vector<std::pair<std::string, std::vector<std::string>>> ends;  // steps, and the seats whose runs end there
  for (const auto& run : evidence.cycle.runs) {
    if (!run.failure) continue;
    auto known = std::ranges::find(ends, run.failure->step, [](const auto& end) { return end.first; });
    if (known == ends.end()) known = ends.insert(ends.end(), {run.failure->step, {}});
    if (!run.name.empty() && std::ranges::count(known->second, run.name) == 0) known->second.push_back(run.name);
  }
  for (const auto& [step, seats] : ends)
    list.push_back(fmt::format("everything from step '{}' on{}: that step can't be run", step,
                               seats.empty() ? ""
                               : seats.size() == 1
                                   ? fmt::format(" at {}", seats.front())
                                   : fmt::format(" at {} and {} more seats", seats.front(), seats.size() - 1)));
  return list;
}

}  // namespace

std::string others_told(const Cell& cell, const CycleRun& run) {
  return several_fillings(cell) ? run.others : "";
}

Report figures_of(const Evidence& evidence) {
  Report report;
  report.cell = evidence.scene.cell.name;
  report.cautions = cautions_of(evidence.scene.cell);
  report.not_computed = not_computed(evidence);
  for (const auto& body : evidence.scene.bodies)
    if (!body.copy_of_seat) report.bodies.push_back(body_figure(body));
  report.cycle_time_s = cycle_time(evidence.cycle);
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    report.steps.push_back(step_figure(evidence.scene, run, stretch, measures));
    if (measures.view)
      report.views.push_back({run.name, stretch.step, others_told(evidence.scene.cell, run), *measures.view});
  });
  add_force_figures(evidence, report);
  report.closest = closest_pairs(evidence);
  for (const SteadyPair& pair : evidence.measures.steady)
    report.steady.push_back({{evidence.scene.bodies[pair.a].name, evidence.scene.bodies[pair.b].name},
                             pair.lower_mm,
                             pair.upper_mm,
                             owed_mm(pair)});
  return report;
}

}  // namespace cellproof
