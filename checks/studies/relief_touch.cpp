// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/relief_touch.hpp"

#include <algorithm>

#include "checks/part_meshes.hpp"
#include "checks/release_moments.hpp"
#include "checks/zone_covers.hpp"
#include "scene/forces/pressing_contacts.hpp"

namespace cellproof {

namespace {

bool touches_with(const Scene& scene, const Stretch& stretch, BodyId body) {
  if (stretch.kind != StretchKind::grip || !stretch.contact) return false;
  const auto& touch = scene.cell.tcps[stretch.contact->tcp].touch;
  return !touch || std::ranges::find(*touch, scene.bodies[body].name) != touch->end();
}

double touched_area(const Scene& scene, BodyId body, const Touch& touch) {
  const auto world = world_poses(scene, touch.arrangement, touch.joints);
  double area = 0;
  for (const PlacedMesh& mesh : part_meshes(scene, world, touch.part, part_pose(scene, world, touch.part)))
    area += pressing_contacts(mesh, placed_body(scene, world, body), seal_tolerance_mm(scene.cell.rules)).area_mm2;
  return area;
}

}  // namespace

std::vector<Touch> touches_of(const Scene& scene, const Cycle& cycle, BodyId body) {
  const bool of_tool = scene.bodies[body].kind == BodyKind::end_effector;
  std::vector<Touch> touches;
  for (const CycleRun& run : cycle.runs) {
    if (!of_tool)
      for (const ReleaseMoment& moment : release_moments(scene, run))
        touches.push_back({moment.step, moment.part, false, moment.arrangement, moment.joints});
    for (const Stretch& stretch : run.stretches)
      if (of_tool && touches_with(scene, stretch, body))
        touches.push_back({stretch.step, stretch.contact->part, true, arrangement_at(stretch, stretch.end_s),
                           stretch.motion.path.end()});
  }
  return touches;
}

std::vector<TouchLoss> touch_losses(const Scene& before, const Scene& after, BodyId body,
                                    const std::vector<Touch>& touches) {
  constexpr double rounding_mm2 = 0.01;
  std::vector<TouchLoss> losses;
  for (const Touch& touch : touches) {
    TouchLoss mine{before.cell.parts[touch.part].name, touch.step, touch.grip, touched_area(before, body, touch), 0};
    if (mine.before_mm2 == 0) continue;
    mine.after_mm2 = touched_area(after, body, touch);
    if (mine.before_mm2 - mine.after_mm2 < rounding_mm2) continue;
    const auto known = std::ranges::find_if(losses, [&](const TouchLoss& other) {
      return other.part == mine.part && other.step == mine.step && other.grip == mine.grip;
    });
    if (known == losses.end())
      losses.push_back(mine);
    else if (mine.before_mm2 - mine.after_mm2 > known->before_mm2 - known->after_mm2)
      *known = mine;
  }
  return losses;
}

}  // namespace cellproof
