// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/hold_measure.hpp"

#include <algorithm>
#include <cmath>

#include "checks/part_meshes.hpp"
#include "scene/forces/seen_on_seat.hpp"

namespace cellproof {

namespace {

/// The part as each work finds it and as it leaves it; where there is none, as it is released.
std::vector<HeldInstant> instants_of(const Scene& scene, const CycleRun& run, const HoldSpan& span) {
  std::vector<HeldInstant> instants;
  const auto add = [&](std::size_t stretch, const std::string& found, const std::string& left) {
    const Stretch& where = run.stretches[stretch];
    const auto world = world_poses(scene, *where.arrangement, where.motion.path.start());
    const PartId part = id_named(scene.cell.parts, found), into = id_named(scene.cell.parts, left);
    const Pose pose = part_pose(scene, world, part);
    instants.push_back({&where, part, pose, part, into});
    if (into != part) instants.push_back({&where, into, pose, part, into});
  };
  for (const std::size_t work : span.work) {
    const auto* machine = action_of<MachineStep>(scene, run.stretches[work]);
    add(work, machine->part, machine->into);
  }
  const auto* place = action_of<PlaceStep>(scene, run.stretches[span.taken]);
  if (instants.empty()) add(span.taken, place->part, place->part);
  return instants;
}

/// Where the line of gravity and the force of the hold go through the seat plane, from the rests' edges.
void put_places(const SeatView& view, HoldMeasure& measure) {
  measure.mass_inside_mm = measure.force_inside_mm = std::numeric_limits<double>::quiet_NaN();
  std::vector<Disk> rests;
  for (const Vector2d& rest : view.rests) rests.push_back({rest, 0});
  if (rests.empty()) return;
  const std::vector<TippingLine> edges = tipping_lines(rests);
  const Vector3d &com = view.mass.com, &g = view.weight;
  constexpr double on_a_wall = 0.05;  // as good as along the seat: the line of gravity goes through it far off
  if (std::abs(g.z()) > on_a_wall * g.norm())
    measure.mass_inside_mm =
        least_inward(edges, g.z() < 0 ? Vector2d((com - com.z() / g.z() * g).head<2>()) : Vector2d(com.head<2>()));
  if (const auto* clasped = std::get_if<ClaspedCase>(&measure.asked)) {
    measure.force_inside_mm = least_inward(edges, clasped->jaw_middle);
    return;
  }
  const auto& fixture = std::get<FixtureCase>(measure.asked);
  const Wrench force = fixture.weight_only ? fixture.constant : Wrench(fixture.constant - fixture.weight);
  if (force[2] < 0) measure.force_inside_mm = least_inward(edges, Vector2d(-force[4], force[3]) / force[2]);
}

void judge(const ClaspedCase& clasped, HoldMeasure& measure) {
  measure.factors = clasped_factors(clasped);
  measure.factors_at_more = clasped_factors(with_cut(clasped, at_upper_end(measure.cut)));
  if (measure.rests_known && measure.rests.empty()) measure.factors.tip = measure.factors_at_more.tip = 0;
  measure.factor = least_of(measure.factors);
  measure.factor_at_more = least_of(measure.factors_at_more);
}

void judge(const FixtureCase& fixture, KnownLimits& known, HoldMeasure& measure) {
  const FixtureCase more = with_cut(fixture, at_upper_end(measure.cut));
  measure.factors = pressed_factors(fixture);
  measure.factors_at_more = pressed_factors(more);
  measure.factor = least_of(measure.factors);
  measure.factor_at_more = least_of(measure.factors_at_more);
  if (!measure.rests_known) return;
  measure.limit = known.limit_of(fixture);
  measure.factor = measure.limit->factor;
  measure.factor_at_more = known.limit_of(more).factor;
}

std::optional<HoldMeasure> measure_at(const Scene& scene, const BodyMasses& masses, const Hold& hold,
                                      const HeldInstant& instant, KnownLimits& known) {
  const auto view = seat_view(scene, masses, hold, instant);
  if (!view) return std::nullopt;
  HoldMeasure measure;
  measure.part = instant.part;
  measure.step = instant.stretch->step;
  measure.time_s = instant.stretch->start_s;
  measure.force = holding_force(scene.cell, hold);
  measure.rests = view->rests;
  measure.rests_known = view->rests_known;
  measure.rests_found = view->rests_found;
  measure.beside = view->beside;
  measure.outline = outline_seen(view->part);
  measure.meshes = view->part;
  if (hold.cut) measure.cut = cut_forces(*hold.cut);
  if (is_clasped(hold)) {
    const ClaspedCase clasped = clasped_case(scene, hold, *view, measure.cut);
    judge(clasped, measure);
    measure.asked = clasped;
  } else {
    const FixtureCase fixture = pressed_case(scene, hold, *view, measure.cut);
    judge(fixture, known, measure);
    measure.asked = fixture;
  }
  put_places(*view, measure);
  return measure;
}

}  // namespace

FixtureLimit KnownLimits::limit_of(const FixtureCase& fixture) {
  const auto found = std::ranges::find_if(known_, [&](const auto& one) { return same(one.first, fixture); });
  if (found != known_.end()) return found->second;
  known_.emplace_back(fixture, fixture_limit(fixture));
  return known_.back().second;
}

double least_of(const HoldFactors& factors) {
  const double with_tip = std::isnan(factors.tip) ? factors.slip : std::min(factors.slip, factors.tip);
  return std::min(with_tip, factors.lift);
}

std::optional<HoldMeasure> measure_hold(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                        const HoldSpan& span, KnownLimits& known) {
  std::optional<HoldMeasure> worst;
  for (const HeldInstant& instant : instants_of(scene, run, span)) {
    auto mine = measure_at(scene, masses, scene.cell.holds[span.hold], instant, known);
    if (!mine) continue;
    mine->hold = span.hold;
    if (!worst || mine->factor < worst->factor) worst = std::move(mine);
  }
  return worst;
}

std::vector<HoldCover> measure_hold_covers(const Scene& scene, const CycleRun& run, const HoldSpan& span) {
  const Hold& hold = scene.cell.holds[span.hold];
  std::vector<HoldCover> all;
  if (hold.suction.empty()) return all;
  for (const HeldInstant& instant : instants_of(scene, run, span))
    all.push_back({instant.stretch->step, instant.stretch->start_s, instant.part,
                   zone_covers(scene, *instant.stretch->arrangement, instant.stretch->motion.path.start(), hold.suction,
                               instant.part, instant.part_in_world)});
  return all;
}

std::vector<HoldPads> measure_hold_pads(const Scene& scene, const CycleRun& run, const HoldSpan& span) {
  const Hold& hold = scene.cell.holds[span.hold];
  std::vector<HoldPads> all;
  if (!is_clasped(hold)) return all;
  for (const HeldInstant& instant : instants_of(scene, run, span)) {
    const auto world = world_poses(scene, *instant.stretch->arrangement, instant.stretch->motion.path.start());
    all.push_back(
        {instant.stretch->step, instant.stretch->start_s,
         measure_pads_of_hold(scene, world, id_named(scene.cell.jaws, hold.jaw), instant.part, instant.part_in_world)});
  }
  return all;
}

}  // namespace cellproof
