// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/hold_case.hpp"

#include <algorithm>

#include "checks/part_meshes.hpp"
#include "checks/worked_outline.hpp"
#include "checks/zone_covers.hpp"
#include "scene/cell/pair_friction.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/cell/zone_shape.hpp"
#include "scene/forces/part_load.hpp"
#include "scene/forces/seen_on_seat.hpp"
#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

template <class Entry>
const Entry& named(const std::vector<Entry>& entries, const std::string& name) {
  return *std::ranges::find(entries, name, &Entry::name);
}

/// Bodies that are neither of the part nor carried by the arm, near enough to touch it.
std::vector<PlacedMesh> neighbours(const Scene& scene, const HeldInstant& instant, const SeatView& view) {
  const auto& present = instant.stretch->arrangement->present;
  std::vector<PlacedMesh> near;
  for (const BodyId number : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[number];
    const bool itself = body.owner_part == instant.part && !body.copy_of_seat;
    const bool of_arm = body.kind == BodyKind::arm || body.kind == BodyKind::end_effector;
    if (itself || of_arm || !present[number]) continue;
    near.push_back(placed_body(scene, view.world, number, view.world_in_seat));
  }
  return near;
}

std::vector<Vector2d> where_cut(const Scene& scene, const Hold& hold, const HeldInstant& instant,
                                const SeatView& view) {
  if (hold.cut && !hold.cut->over.empty()) return hold.cut->over;
  std::vector<Vector2d> changed;
  const Pose part_in_seat = view.world_in_seat * instant.part_in_world;
  for (const Vector3d& point : changed_points(scene, instant.before, instant.after))
    changed.emplace_back((part_in_seat * point).head<2>());
  return changed.empty() ? outline_seen(view.part) : convex_outline(std::move(changed));
}

/// True without a mesh to look at as well, and on the part's very edge, where rounding has no say.
bool is_at(const SeatView& view, const Vector2d& place) {
  constexpr double edge_mm = 0.01;
  if (view.part.empty()) return true;
  for (const double x : {0.0, edge_mm, -edge_mm})
    for (const double y : {0.0, edge_mm, -edge_mm})
      if (top_at(view.part, place + Vector2d(x, y))) return true;
  return false;
}

void put_rests(const Scene& scene, const Hold& hold, const HeldInstant& instant, SeatView& view) {
  for (const Vector2d& rest : hold.rests)
    if (is_at(view, rest)) view.rests.push_back(rest);
  view.rests_known = !hold.rests.empty();
  if (view.rests_known || is_clasped(hold)) return;
  view.rests = rests_found(view.part, neighbours(scene, instant, view), seal_tolerance_mm(scene.cell.rules));
  if (view.rests.size() < 3) view.rests.clear();
  view.rests_known = view.rests_found = !view.rests.empty();
}

std::vector<Vector2d> places_beside(const Hold& hold, const SeatView& view) {
  std::vector<Vector2d> beside = hold.rests;
  for (const Clamp& clamp : hold.clamps) beside.push_back(clamp.at);
  std::erase_if(beside, [&](const Vector2d& place) { return is_at(view, place); });
  return beside;
}

/// A zone's pull where it acts; what of it points along the seat's -z counts.
Wrench pull_of(const Suction& zone, const Pose& in_seat) {
  const Vector2d middle = zone_area(zone).centroid;
  const double share_down = std::max(0.0, in_seat.linear()(2, 2));
  return wrench_of({0, 0, -share_down * suction_force(zone)}, in_seat * Vector3d(middle.x(), middle.y(), 0));
}

void add_clamps(const Hold& hold, const SeatView& view, FixtureCase& fixture) {
  std::vector<Clamp> clamps = hold.clamps;
  std::ranges::stable_sort(clamps, {}, [](const Clamp& clamp) { return std::pair(clamp.at.x(), clamp.at.y()); });
  for (const Clamp& clamp : clamps) {
    if (!is_at(view, clamp.at)) continue;
    const auto top = top_at(view.part, clamp.at);
    const Vector3d at(clamp.at.x(), clamp.at.y(), top.value_or(0));
    fixture.constant += wrench_of({0, 0, -clamp.force}, at);
    if (!top || fixture.contacts.tips.size() >= Contacts::most_tips) continue;
    fixture.contacts.tips.push_back(at);
    fixture.contacts.grips.push_back(view.friction * clamp.force);
  }
}

}  // namespace

bool is_clasped(const Hold& hold) {
  return !hold.jaw.empty();
}

std::optional<SeatView> seat_view(const Scene& scene, const BodyMasses& masses, const Hold& hold,
                                  const HeldInstant& instant) {
  const Arrangement& arrangement = *instant.stretch->arrangement;
  const MassSum mass = part_mass(scene, masses, arrangement, instant.part);
  if (!mass.known()) return std::nullopt;
  SeatView view;
  view.world = world_poses(scene, arrangement, instant.stretch->motion.path.start());
  view.world_in_seat = view.world[scene.frame_named(hold.seat)].inverse();
  view.part = part_meshes(scene, view.world, instant.part, instant.part_in_world, view.world_in_seat);
  view.mass = placed_mass(mass.mass, view.world_in_seat * instant.part_in_world);
  constexpr double newton = 1e-3;  // kg mm/s^2
  view.weight = newton * view.mass.kg * (view.world_in_seat.linear() * Vector3d(0, 0, -standard_gravity));
  view.friction = friction_in(scene.cell, hold, scene.cell.parts[instant.part].name);
  put_rests(scene, hold, instant, view);
  view.beside = places_beside(hold, view);
  view.over = where_cut(scene, hold, instant, view);
  return view;
}

double holding_force(const Cell& cell, const Hold& hold) {
  double force = 0;
  for (const auto& name : hold.suction) force += suction_force(named(cell.suctions, name));
  for (const Clamp& clamp : hold.clamps) force += clamp.force;
  if (is_clasped(hold)) {
    const Jaw& jaw = named(cell.jaws, hold.jaw);
    force += jaw.pads * jaw.force;
  }
  return force;
}

FixtureCase pressed_case(const Scene& scene, const Hold& hold, const SeatView& view, const CutForces& forces) {
  FixtureCase fixture;
  fixture.contacts.rests = view.rests;
  fixture.contacts.friction = view.friction;
  fixture.weight = wrench_of(view.weight, view.mass.com);
  for (const auto& name : hold.suction)
    fixture.constant +=
        pull_of(named(scene.cell.suctions, name), view.world_in_seat * view.world[scene.frame_named(name)]);
  add_clamps(hold, view, fixture);
  fixture.weight_only = !hold.cut;
  if (!hold.cut) return fixture;
  fixture.constant += fixture.weight;
  fixture.cut.height = hold.cut->height;
  fixture.cut.over = view.over;
  return with_cut(std::move(fixture), forces);
}

ClaspedCase clasped_case(const Scene& scene, const Hold& hold, const SeatView& view, const CutForces& forces) {
  ClaspedCase clasped;
  const Jaw& jaw = named(scene.cell.jaws, hold.jaw);
  const Pose in_seat = view.world_in_seat * view.world[scene.frame_named(jaw.name)];
  clasped.friction_force = view.friction * jaw.pads * jaw.force;
  clasped.jaw_middle = in_seat.translation().head<2>();
  clasped.weight = -view.weight.z();
  clasped.weight_along = view.weight.head<2>().norm();
  clasped.mass_centre = view.mass.com.head<2>();
  std::vector<Disk> rests;
  for (const Vector2d& rest : view.rests) rests.push_back({rest, 0});
  clasped.edges = tipping_lines(rests);
  clasped.over = view.over;
  if (!hold.cut) return clasped;
  clasped.height = hold.cut->height;
  return with_cut(std::move(clasped), forces);
}

FixtureCase with_cut(FixtureCase fixture, const CutForces& forces) {
  fixture.cut.side = forces.side;
  fixture.cut.lift = forces.lift;
  fixture.cut.thrust = forces.thrust;
  return fixture;
}

ClaspedCase with_cut(ClaspedCase clasped, const CutForces& forces) {
  clasped.side = forces.side;
  clasped.lift = forces.lift;
  return clasped;
}

}  // namespace cellproof
