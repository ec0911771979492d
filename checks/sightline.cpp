// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"

namespace cellproof {

namespace {

std::string blockers(const Scene& scene, const TargetView& view) {
  std::string text;
  for (const auto& blocked : view.blocked_by)
    text += fmt::format("{}'{}' covers {:.1f} %", text.empty() ? "" : ", ", scene.bodies[blocked.body].name,
                        100 * blocked.share);
  return text;
}

std::string rim_blockers(const Scene& scene, const RimView& rim) {
  std::string text;
  for (const auto& blocked : rim.blocked_by)
    text += fmt::format("{}'{}'", text.empty() ? "" : ", ", scene.bodies[blocked.body].name);
  return text;
}

std::string why_unseen(const Scene& scene, const TargetView& view) {
  std::string text = blockers(scene, view);
  if (view.facing >= pi / 2) text += fmt::format("{}it faces away from the camera", text.empty() ? "" : ", ");
  if (view.in_frame < 1)
    text += fmt::format("{}{:.1f} % of it is out of the picture", text.empty() ? "" : ", ", 100 * (1 - view.in_frame));
  return text;
}

/// A share that is too near to what is asked to be told from it says so.
std::string seen_share(const TargetView& view, double asked) {
  if (view.visible < asked) return told_from(100 * view.visible, 100 * asked, 1) + " %";
  return fmt::format("{:.2f} % (to within {:g} %)", 100 * view.visible, 100 * share_tolerance);
}

}  // namespace

std::vector<Finding> check_sightline(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!measures.view) return;
    const Camera& camera = scene.cell.cameras[measures.view->camera];
    for (const auto& view : measures.view->targets) {
      const std::string& target = scene.cell.targets[view.target].name;
      const auto add = [&](Severity severity, double measured, double required, std::string message, std::string mend) {
        Finding finding = finding_at(Check::sightline, severity, run, stretch, stretch.start_s);
        finding.between = {camera.name, target};
        finding.judged = {measured, required, "share"};
        finding.message = std::move(message);
        finding.mend = std::move(mend);
        findings.push_back(std::move(finding));
      };
      const double asked = scene.cell.rules.visible;
      if (!sees_enough(view, asked))
        add(Severity::fail, view.visible, asked,
            fmt::format("'{}' sees {} of '{}', {:.1f} % asked: {}", camera.name, seen_share(view, asked), target,
                        100 * asked, why_unseen(scene, view)),
            view.blocked_by.empty() ? "look from further back, or turn the camera to the target"
                                    : fmt::format("cut '{}' free of the view, move the camera, or look from elsewhere",
                                                  scene.bodies[view.blocked_by.front().body].name));
      if (view.in_range < 1)
        add(Severity::fail, view.in_range, 1.0,
            fmt::format("{} % of '{}' is outside the range of '{}' ({:g} to {:g} mm)",
                        told_from(100 * (1 - view.in_range), 0, 1), target, camera.name, camera.near_mm, camera.far_mm),
            "look from nearer or further, or choose another lens");
      if (sees_enough(view, asked) && view.rim && view.rim->blocked > 0)
        add(Severity::caution, view.rim->blocked, 0,
            fmt::format("the lens of '{}' sees '{}' from its centre, but {:.1f} % of the ways from its rim are blocked "
                        "by {}: the picture is dimmer there, and edges near the lens blur into it",
                        camera.name, target, 100 * view.rim->blocked, rim_blockers(scene, *view.rim)),
            fmt::format("cut '{}' free of the view with the lens's radius, or move the camera",
                        scene.bodies[view.rim->blocked_by.front().body].name));
      if (view.in_focus && !*view.in_focus)
        add(Severity::caution, 0, 1,
            fmt::format("'{}' is not in focus at all four corners of '{}'", camera.name, target),
            "set the focus distance to the target's, or close the aperture");
    }
  });
  return findings;
}

}  // namespace cellproof
