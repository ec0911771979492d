// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/zone_intrusions.hpp"

#include <algorithm>
#include <cmath>

#include "checks/checked_pairs.hpp"
#include "scene/clearance/clearance.hpp"
#include "scene/clearance/pair_results.hpp"
#include "scene/mesh/primitives.hpp"

namespace cellproof {

namespace {

constexpr double skin_mm = 0.002;  // twice what a distance can't be told from its rule by

/// The zone that the stretch's step asks to be clear, if any.
ZoneId zone_asked(const Scene& scene, const Stretch& stretch) {
  const Action& action = scene.cell.cycle->steps[stretch.step_index].action;
  std::string name;
  if (const auto* shift = std::get_if<ShiftStep>(&action)) name = shift->clear;
  if (const auto* machine = std::get_if<MachineStep>(&action)) name = machine->clear;
  return name.empty() ? ZoneId{} : id_named(scene.cell.zones, name);
}

bool has_to_be_out(const Scene& scene, const Stretch& stretch, BodyId body) {
  const SceneBody& entry = scene.bodies[body];
  if (!stretch.arrangement->present[body]) return false;
  if (entry.kind == BodyKind::arm || entry.kind == BodyKind::end_effector) return true;
  return stretch.held_part && entry.owner_part == stretch.held_part && !entry.copy_of_seat;
}

/// The scene with the zone, less its skin, as its last body: then it can be asked for its distance like any other.
Scene with_zone(const Scene& scene, const Zone& zone) {
  const double skin = std::min(skin_mm, zone.box.minCoeff() / 4);
  Scene more = scene;
  SceneBody body;
  body.name = zone.name;
  body.frame = scene.frame_named(zone.name);
  body.solid = std::make_shared<const Solid>(box_mesh(zone.box - Vector3d::Constant(2 * skin)));
  more.bodies.push_back(std::move(body));
  return more;
}

/// The shortest of the six ways along the zone's axes by which the whole body leaves it.
void find_way_out(const Scene& scene, const Stretch& stretch, ZoneIntrusion& found) {
  const Zone& zone = scene.cell.zones[found.zone];
  const SceneBody& body = scene.bodies[found.body];
  const double time = time_at(stretch, found.share);
  const Instant at = instant_at(scene, stretch, time);
  const Pose& zone_in_world = at.frame_in_world[scene.frame_named(zone.name)];
  const Pose body_in_zone = zone_in_world.inverse() * at.pose_of(body);
  Box reach;
  for (const auto& vertex : body.solid->mesh().vertices) reach.add(body_in_zone * vertex);
  found.out_mm = std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis)
    for (const double sign : {1.0, -1.0}) {
      const double out = zone.box[axis] / 2 - (sign > 0 ? reach.low[axis] : -reach.high[axis]);
      if (out >= found.out_mm) continue;
      found.out_mm = out;
      found.way = zone_in_world.linear() * (sign * Vector3d::Unit(axis));
    }
}

}  // namespace

std::vector<ZoneIntrusion> zone_intrusions(const Scene& scene, const Stretch& stretch, const std::stop_token& stop,
                                           PairResults& results) {
  const ZoneId zone = zone_asked(scene, stretch);
  if (!zone) return {};
  const Zone& asked = scene.cell.zones[zone];
  const double least = std::min(skin_mm, asked.box.minCoeff() / 4) / 2;
  const Scene with_it = with_zone(scene, asked);
  const BodyId zone_body = with_it.bodies.last_id();
  std::vector<PairAsked> pairs;
  for (const BodyId body : bodies_in_order(scene))
    if (has_to_be_out(scene, stretch, body)) pairs.push_back({body, zone_body, least, {{0, 1}}});
  const StretchClearance clearance = measure_clearance(with_it, stretch, pairs, stop, &results);
  std::vector<ZoneIntrusion> found;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const PairClearance& pair = clearance.pairs[i];
    if (pair.lower_mm >= least) continue;
    ZoneIntrusion intrusion;
    intrusion.zone = zone;
    intrusion.body = pairs[i].a;
    intrusion.share = std::isnan(pair.share) ? 0 : pair.share;
    find_way_out(scene, stretch, intrusion);
    found.push_back(intrusion);
  }
  return found;
}

}  // namespace cellproof
