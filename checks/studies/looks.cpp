// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/looks.hpp"

namespace cellproof {

std::vector<Look> looks_of(const Scene& scene, const Cycle& cycle, CameraId camera) {
  std::vector<Look> looks;
  for (const CycleRun& run : cycle.runs)
    for (const Stretch& stretch : run.stretches) {
      if (stretch.kind != StretchKind::look) continue;
      const Step& step = scene.cell.cycle->steps[stretch.step_index];
      const auto& action = std::get<LookStep>(step.action);
      if (id_named(scene.cell.cameras, action.camera) != camera) continue;
      Look look{run.name, run.others, stretch.step, stretch.step_index, stretch.start_s, {}};
      look.view.camera = camera;
      for (const auto& target : action.targets) look.view.targets.push_back(id_named(scene.cell.targets, target));
      look.view.arrangement = *stretch.arrangement;
      look.view.joints = stretch.motion.path.start();
      looks.push_back(std::move(look));
    }
  return looks;
}

}  // namespace cellproof
