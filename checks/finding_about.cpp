// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/finding_about.hpp"

#include <algorithm>

namespace cellproof {

namespace {

bool is_part(const Scene& scene, const std::string& name) {
  const auto body = std::ranges::find(scene.bodies, name, &SceneBody::name);
  if (body == scene.bodies.end() || !body->owner_part) return false;
  const Part& part = scene.cell.parts[body->owner_part];
  return body->copy_of_seat || body->name == part.name;
}

}  // namespace

void tell_about(const Scene& scene, Finding& finding) {
  if (finding.check != Check::clearance) return;
  finding.about = finding.between;
  for (std::string& name : finding.about)
    if (is_part(scene, name)) name = "a part";
}

}  // namespace cellproof
