// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/hold_measure.hpp"

#include <algorithm>
#include <cmath>

#include "checks/part_meshes.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/cell/zone_shape.hpp"
#include "scene/forces/part_load.hpp"

namespace cellproof {

namespace {

/// A part of the cell somewhere in the world while it is held.
struct HeldInstant {
  const Stretch* stretch;
  PartId part;
  Pose part_in_world = Pose::Identity();
};

/// The part as each work finds it and as it leaves it; where there is none, as it is released.
std::vector<HeldInstant> instants_of(const Scene& scene, const CycleRun& run, const HoldSpan& span) {
  std::vector<HeldInstant> instants;
  const auto add = [&](std::size_t stretch, const std::string& found, const std::string& left) {
    const Stretch& where = run.stretches[stretch];
    const auto world = world_poses(scene, *where.arrangement, where.motion.path.start());
    const PartId part = id_named(scene.cell.parts, found), into = id_named(scene.cell.parts, left);
    const Pose pose = part_pose(scene, world, part);
    instants.push_back({&where, part, pose});
    if (into != part) instants.push_back({&where, into, pose});
  };
  for (const std::size_t work : span.work) {
    const auto* machine = action_of<MachineStep>(scene, run.stretches[work]);
    add(work, machine->part, machine->into);
  }
  const auto* place = action_of<PlaceStep>(scene, run.stretches[span.taken]);
  if (instants.empty()) add(span.taken, place->part, place->part);
  return instants;
}

/// Where and how hard the hold presses, in the seat's frame.
void put_force(const Scene& scene, const Hold& hold, const Table<FrameId, Pose>& world, const Pose& world_in_seat,
               HoldMeasure& measure) {
  Vector2d first = Vector2d::Zero();
  double pressing = 0;
  const auto add = [&](double force, double share_down, const Vector2d& at) {
    measure.force += force;
    pressing += force * share_down;
    first += force * share_down * at;
  };
  for (const auto& name : hold.suction) {
    const Suction& zone = scene.cell.suctions[id_named(scene.cell.suctions, name)];
    const Pose in_seat = world_in_seat * world[scene.frame_named(name)];
    const Vector2d middle = zone_area(zone).centroid;
    add(suction_force(zone), std::max(0.0, in_seat.linear()(2, 2)),
        (in_seat * Vector3d(middle.x(), middle.y(), 0)).head<2>());
  }
  for (const Clamp& clamp : hold.clamps) add(clamp.force, 1, clamp.at);
  if (is_clasped(hold)) {
    const Jaw& jaw = scene.cell.jaws[id_named(scene.cell.jaws, hold.jaw)];
    const Pose in_seat = world_in_seat * world[scene.frame_named(jaw.name)];
    add(jaw.pads * jaw.force, hold.friction, in_seat.translation().head<2>());
  }
  measure.asked.force = pressing;
  if (pressing > 0) measure.asked.force_centre = first / pressing;
}

std::vector<Vector2d> seen_along_z(const Scene& scene, const HeldInstant& instant, const Table<FrameId, Pose>& world,
                                   const Pose& world_in_seat) {
  std::vector<Vector2d> corners;
  const Pose moved = instant.part_in_world * part_pose(scene, world, instant.part).inverse();
  for (const auto& body : scene.bodies) {
    if (body.owner_part != instant.part || body.copy_of_seat) continue;
    const Pose in_seat = world_in_seat * moved * world[body.frame];
    for (const Vector3d& vertex : body.solid->mesh().vertices) corners.push_back((in_seat * vertex).head<2>());
  }
  return corners;
}

void put_weight(const RigidMass& in_seat, const Vector3d& gravity_in_seat, HoldMeasure& measure) {
  constexpr double newton = 1e-3;  // kg mm/s^2
  const Vector3d weight = newton * in_seat.kg * gravity_in_seat;
  measure.asked.weight = -weight.z();
  measure.asked.weight_along = weight.head<2>().norm();
  measure.asked.mass_centre = in_seat.com.head<2>();
  if (measure.asked.edges.empty()) return;
  // Where the line of gravity goes through the seat plane.
  const Vector3d& g = gravity_in_seat;
  const Vector2d foot =
      g.z() < 0 ? Vector2d((in_seat.com - in_seat.com.z() / g.z() * g).head<2>()) : measure.asked.mass_centre;
  measure.mass_inside_mm = least_inward(measure.asked.edges, foot);
}

std::optional<HoldMeasure> measure_at(const Scene& scene, const BodyMasses& masses, const Hold& hold,
                                      const HeldInstant& instant) {
  const Arrangement& arrangement = *instant.stretch->arrangement;
  const MassSum mass = part_mass(scene, masses, arrangement, instant.part);
  if (!mass.known()) return std::nullopt;
  const auto world = world_poses(scene, arrangement, instant.stretch->motion.path.start());
  const Pose world_in_seat = world[scene.frame_named(hold.seat)].inverse();
  HoldMeasure measure;
  measure.part = instant.part;
  measure.step = instant.stretch->step;
  measure.time_s = instant.stretch->start_s;
  measure.asked.friction = hold.friction;
  std::vector<Disk> rests;
  for (const Vector2d& rest : hold.rests) rests.push_back({rest, 0});
  measure.asked.edges = tipping_lines(rests);
  measure.mass_inside_mm = measure.force_inside_mm = std::numeric_limits<double>::quiet_NaN();
  put_force(scene, hold, world, world_in_seat, measure);
  put_weight(placed_mass(mass.mass, world_in_seat * instant.part_in_world),
             world_in_seat.linear() * Vector3d(0, 0, -standard_gravity), measure);
  if (!rests.empty()) measure.force_inside_mm = least_inward(measure.asked.edges, measure.asked.force_centre);
  measure.asked.corners = seen_along_z(scene, instant, world, world_in_seat);
  if (hold.cut) {
    measure.side = side_force(*hold.cut);
    measure.asked.side = measure.side.newton;
    measure.asked.lift = hold.cut->lift_force;
    measure.asked.height = hold.cut->height;
  }
  measure.factors = factors_of(hold, measure.asked);
  HoldCase more = measure.asked;
  if (measure.side.estimated) more.side *= 1 + estimate_error;
  measure.factors_at_more = factors_of(hold, more);
  return measure;
}

double least_of(const HoldFactors& factors) {
  const double with_tip = std::isnan(factors.tip) ? factors.slip : std::min(factors.slip, factors.tip);
  return std::min(with_tip, factors.lift);
}

}  // namespace

bool is_clasped(const Hold& hold) {
  return !hold.jaw.empty();
}

HoldFactors factors_of(const Hold& hold, const HoldCase& asked) {
  return is_clasped(hold) ? clasped_factors(asked) : pressed_factors(asked);
}

std::optional<HoldMeasure> measure_hold(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                        const HoldSpan& span) {
  std::optional<HoldMeasure> worst;
  for (const HeldInstant& instant : instants_of(scene, run, span)) {
    auto mine = measure_at(scene, masses, scene.cell.holds[span.hold], instant);
    if (!mine) continue;
    mine->hold = span.hold;
    if (!worst || least_of(mine->factors) < least_of(worst->factors)) worst = std::move(mine);
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
