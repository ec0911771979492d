// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/force_figures.hpp"

#include <algorithm>
#include <cmath>

#include "checks/each_stretch.hpp"
#include "checks/handover.hpp"
#include "scene/cell/supply.hpp"
#include "scene/forces/milling_forces.hpp"

namespace cellproof {

namespace {

/// A factor where something is demanded.
std::optional<double> if_finite(double value) {
  if (!std::isfinite(value)) return std::nullopt;
  return value;
}

std::string others_told(const Cell& cell, const CycleRun& run) {
  return several_fillings(cell) ? run.others : "";
}

std::vector<PadFigure> pad_figures(const Scene& scene, const PadMeasure& measure) {
  std::vector<PadFigure> figures;
  for (const PadSide& side : measure.contact.sides) {
    PadFigure& figure = figures.emplace_back();
    figure.contact_mm2 = side.met.area_mm2;
    for (const BodyId body : side.met.bodies) figure.bodies.push_back(scene.bodies[body].name);
  }
  return figures;
}

/// The pads of a grip or hold, where any are modelled.
template <class Figure>
void put_pads(const Scene& scene, const PadMeasure& measure, Figure& figure) {
  if (!measure.looked_at) return;
  figure.pads = pad_figures(scene, measure);
  figure.pad_contact_mm2 = measure.contact.least_area_mm2();
}

GripFigure grip_figure(const Scene& scene, const CycleRun& run, const Stretch& stretch, const GripMeasure& measure) {
  const Tcp& tcp = scene.cell.tcps[stretch.holding_tcp];
  const GripInstant& worst = measure.least.least();
  GripFigure figure;
  figure.run = run.name;
  figure.others = others_told(scene.cell, run);
  figure.step = stretch.step;
  figure.part = scene.cell.parts[stretch.held_part].name;
  figure.tcp = tcp.name;
  figure.force_n = measure.force;
  figure.factor = if_finite(worst.factors.least());
  figure.pull = if_finite(worst.factors.pull);
  figure.slip = if_finite(worst.factors.slip);
  figure.peel = if_finite(worst.factors.peel);
  figure.time_s = stretch.start_s + worst.time;
  if (figure.factor) figure.limited_by = std::string(limit_name(worst.factors.limited_by()));
  figure.in_stop = measure.least.stop_is_least();
  if (const auto holder = holder_of(scene, *stretch.arrangement, stretch.holding_tcp, stretch.held_part);
      holder && holder->suction())
    for (std::size_t i = 0; i < tcp.suction.size(); ++i)
      figure.zones.push_back({tcp.suction[i], holder->suction()->pads[i].force, measure.zone_loads[i]});
  if (measure.moment_in_pads) figure.moment_in_pads_nm = *measure.moment_in_pads / 1000;
  return figure;
}

/// One figure from each grip to its release: that of the stretch that holds least.
void add_grips(const Evidence& evidence, Report& report) {
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r) {
    const CycleRun& run = evidence.cycle.runs[r];
    const Stretch* worst = nullptr;
    const GripMeasure* measure = nullptr;
    const PadMeasure* pads = nullptr;
    for (std::size_t s = 0; s < run.stretches.size(); ++s) {
      const Stretch& stretch = run.stretches[s];
      const auto& mine = evidence.measures.runs[r][s].grip;
      if (stretch.kind == StretchKind::grip)
        pads = evidence.measures.runs[r][s].pads ? &*evidence.measures.runs[r][s].pads : nullptr;
      if (mine && (!worst || mine->least.least().factors.least() < measure->least.least().factors.least())) {
        worst = &stretch;
        measure = &*mine;
      }
      const bool ends = stretch.kind == StretchKind::release || s + 1 == run.stretches.size();
      if (!ends || !worst) continue;
      report.grips.push_back(grip_figure(evidence.scene, run, *worst, *measure));
      if (pads) put_pads(evidence.scene, *pads, report.grips.back());
      worst = nullptr;
    }
  }
}

WristFigure wrist_figure(const Scene& scene, const CycleRun& run, const Stretch& stretch, const WristMeasure& measure) {
  WristFigure figure;
  figure.run = run.name;
  figure.others = others_told(scene.cell, run);
  figure.step = stretch.step;
  figure.mass_kg = measure.mass_kg;
  figure.offset_mm = measure.offset_mm;
  for (std::size_t i = 0; i < 3; ++i)
    figure.axes.push_back(
        {static_cast<int>(i) + 4, measure.load[i].moment_nm, if_finite(measure.load[i].inertia_kgm2)});
  return figure;
}

/// The greater moment and inertia of each axis goes into the figure of a step's heaviest load.
void add_to(WristFigure& figure, const WristFigure& other) {
  if (other.mass_kg > figure.mass_kg + 1e-9) {
    figure = other;
    return;
  }
  if (other.mass_kg < figure.mass_kg - 1e-9) return;
  for (std::size_t i = 0; i < figure.axes.size(); ++i) {
    figure.axes[i].moment_nm = std::max(figure.axes[i].moment_nm, other.axes[i].moment_nm);
    if (figure.axes[i].inertia_kgm2)
      figure.axes[i].inertia_kgm2 = std::max(*figure.axes[i].inertia_kgm2, other.axes[i].inertia_kgm2.value_or(0));
  }
}

void add_wrist(const Evidence& evidence, Report& report) {
  const CycleRun* last_run = nullptr;
  StepId last_step;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!measures.wrist) return;
    const WristFigure mine = wrist_figure(evidence.scene, run, stretch, *measures.wrist);
    if (&run == last_run && stretch.step_index == last_step)
      add_to(report.wrist.back(), mine);
    else
      report.wrist.push_back(mine);
    last_run = &run;
    last_step = stretch.step_index;
  });
}

void add_torques(const Evidence& evidence, Report& report) {
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!measures.torques) return;
    report.torques.resize(6);
    for (std::size_t j = 0; j < 6; ++j) {
      const double torque = measures.torques->greatest_nm[static_cast<Eigen::Index>(j)];
      if (report.torques[j].joint > 0 && torque <= report.torques[j].torque_nm) continue;
      report.torques[j] = {static_cast<int>(j) + 1, torque, run.name, stretch.step,
                           measures.torques->time_s[static_cast<Eigen::Index>(j)]};
    }
  });
}

/// What gives of holds that are judged mode by mode.
Gives weakest_mode(const HoldFactors& factors) {
  if (factors.tip < std::min(factors.slip, factors.lift)) return Gives::tip;
  return factors.lift < factors.slip ? Gives::lift : Gives::slide;
}

void put_limit(const HoldMeasure& measure, HoldFigure& figure) {
  figure.factor = if_finite(measure.factor);
  figure.rests_found = measure.rests_found;
  if (!figure.factor) return;
  figure.gives_by = name_of(measure.limit ? measure.limit->gives : weakest_mode(measure.factors));
  if (!measure.limit) return;
  if (measure.rests.size() > 3) figure.best_factor = if_finite(measure.limit->best);
  const auto& fixture = std::get<FixtureCase>(measure.asked);
  if (!fixture.weight_only && *figure.factor > 0) {
    figure.worst_at_mm = measure.limit->worst.place;
    if (fixture.cut.side > 0) figure.worst_towards_deg = degrees(measure.limit->worst.towards);
  }
  for (std::size_t i = 0; i < measure.rests.size(); ++i)
    figure.reactions.push_back({measure.rests[i], measure.limit->reactions[i]});
}

std::string name_of(CutSource source) {
  if (source == CutSource::power) return "power";
  return source == CutSource::cutter ? "cutter" : "file";
}

CutFigure cut_figure(const Cut& cut, const CutForces& forces) {
  CutFigure figure;
  figure.from = name_of(forces.source);
  figure.side_force_n = forces.side;
  figure.lift_force_n = forces.lift;
  figure.thrust_n = forces.thrust;
  figure.side_force_mean_n = forces.side_mean;
  figure.power_w = forces.power;
  if (!cut.cutter) return figure;
  figure.feed_per_tooth_mm = feed_per_tooth(*cut.cutter);
  figure.thickest_chip_mm = thickest_chip(*cut.cutter);
  return figure;
}

HoldFigure hold_figure(const Scene& scene, const CycleRun& run, const HoldMeasure& measure) {
  HoldFigure figure;
  figure.name = scene.cell.holds[measure.hold].name;
  figure.run = run.name;
  figure.others = others_told(scene.cell, run);
  figure.step = measure.step;
  figure.part = scene.cell.parts[measure.part].name;
  figure.force_n = measure.force;
  put_limit(measure, figure);
  figure.slip = if_finite(measure.factors.slip);
  figure.tip = if_finite(measure.factors.tip);
  figure.lift = if_finite(measure.factors.lift);
  if (const auto& cut = scene.cell.holds[measure.hold].cut) figure.cut = cut_figure(*cut, measure.cut);
  figure.estimated = measure.cut.estimated();
  if (figure.estimated) {
    figure.factor_at_more = if_finite(measure.factor_at_more);
    figure.slip_at_more = if_finite(measure.factors_at_more.slip);
    figure.tip_at_more = if_finite(measure.factors_at_more.tip);
    figure.lift_at_more = if_finite(measure.factors_at_more.lift);
  }
  return figure;
}

std::string held_by(const ReleaseMeasure& measure) {
  if (measure.hold) return "hold";
  if (measure.drop_mm && measure.rests_on.empty())
    return measure.air && measure.air->gap_mm <= *measure.drop_mm ? "drop" : "nothing";
  if (measure.rests_on.empty()) return measure.near_something ? "nothing" : "unknown";
  if (!measure.support) return "unknown";
  if (!(measure.support->balance.inside_mm > 0)) return "nothing";
  return measure.support->friction > 0 ? "friction" : "contact";
}

ReleaseFigure release_figure(const Scene& scene, const CycleRun& run, const ReleaseMeasure& measure) {
  ReleaseFigure figure;
  figure.run = run.name;
  figure.others = others_told(scene.cell, run);
  figure.step = measure.step;
  figure.time_s = measure.time_s;
  figure.part = scene.cell.parts[measure.part].name;
  figure.seat = measure.seat;
  figure.held_by = held_by(measure);
  if (measure.hold) figure.hold = scene.cell.holds[measure.hold].name;
  for (const BodyId body : measure.rests_on) figure.rests_on.push_back(scene.bodies[body].name);
  if (measure.air) figure.air_mm = measure.air->gap_mm;
  if (!measure.support) return figure;
  figure.centre_inside_mm = if_finite(measure.support->balance.inside_mm);
  if (measure.support->friction > 0) figure.friction = measure.support->friction;
  figure.friction_assumed = measure.support->assumed;
  return figure;
}

void add_releases(const Evidence& evidence, Report& report) {
  for (std::size_t r = 0; r < evidence.measures.releases.size(); ++r)
    for (const ReleaseMeasure& measure : evidence.measures.releases[r])
      report.releases.push_back(release_figure(evidence.scene, evidence.cycle.runs[r], measure));
}

std::optional<SupplyFigure::Place> place_told(const Evidence& evidence, const CyclePlace& at) {
  const CycleRun& run = evidence.cycle.runs[at.run];
  return SupplyFigure::Place{run.name, others_told(evidence.scene.cell, run), run.stretches[at.stretch].step,
                             at.time_s};
}

SupplyFigure supply_figure(const Evidence& evidence, const SupplyMeasure& measure) {
  constexpr double mm3_per_litre = 1e6;
  const Cell& cell = evidence.scene.cell;
  SupplyFigure figure;
  figure.name = cell.supplies[measure.supply].name;
  for (const Suction& zone : cell.suctions)
    if (zone.supply == figure.name) figure.zones.push_back(zone.name);
  figure.reached_kpa = measure.reached / 1000;
  figure.counted_kpa = measure.counted / 1000;
  if (measure.evacuation) figure.evacuation_s = if_finite(*measure.evacuation);
  if (figure.evacuation_s) figure.timeout_s = switch_timeout(*figure.evacuation_s);
  if (measure.kept) {
    figure.held_after_loss_s = if_finite(measure.kept->seconds);
    figure.weakest_factor = if_finite(measure.kept->factor);
    figure.weakest = place_told(evidence, measure.kept->at);
  }
  if (measure.lay_down) {
    figure.needed_to_lay_down_s = measure.lay_down->seconds;
    figure.furthest = place_told(evidence, measure.lay_down->at);
  }
  if (measure.air) figure.air_litres = *measure.air / mm3_per_litre;
  return figure;
}

}  // namespace

void add_force_figures(const Evidence& evidence, Report& report) {
  add_grips(evidence, report);
  add_wrist(evidence, report);
  add_torques(evidence, report);
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r)
    for (const auto& held : evidence.measures.holds[r]) {
      if (!held.measure) continue;
      report.holds.push_back(hold_figure(evidence.scene, evidence.cycle.runs[r], *held.measure));
      const auto least = std::ranges::min_element(
          held.pads, {}, [](const HoldPads& pads) { return pads.pads.contact.least_area_mm2(); });
      if (least != held.pads.end()) put_pads(evidence.scene, least->pads, report.holds.back());
    }
  add_releases(evidence, report);
  for (const SupplyMeasure& measure : evidence.measures.supplies)
    report.supplies.push_back(supply_figure(evidence, measure));
  report.controller = controller_duties(evidence.scene);
}

}  // namespace cellproof
