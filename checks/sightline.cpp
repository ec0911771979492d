// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"

namespace cellproof {

namespace {

std::string blockers(const Scene& scene, const TargetView& view) {
  std::string text;
  for (const auto& blocked : view.blocked_by)
    text +=
        fmt::format("{}'{}' covers {:.1f} %", text.empty() ? "" : ", ", scene[blocked.body].name, 100 * blocked.share);
  return text;
}

std::string rim_blockers(const Scene& scene, const RimView& rim) {
  std::string text;
  for (const auto& blocked : rim.blocked_by)
    text += fmt::format("{}'{}'", text.empty() ? "" : ", ", scene[blocked.body].name);
  return text;
}

std::string why_unseen(const Scene& scene, const TargetView& view) {
  std::string text = blockers(scene, view);
  if (view.facing >= pi / 2) text += fmt::format("{}it faces away from the camera", text.empty() ? "" : ", ");
  if (view.in_frame < 1)
    text += fmt::format("{}{:.1f} % of it is out of the picture", text.empty() ? "" : ", ", 100 * (1 - view.in_frame));
  return text;
}

}  // namespace

std::vector<Finding> check_sightline(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Scene& scene = evidence.scene;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!measures.view) return;
    const Camera& camera = scene.cell[measures.view->camera];
    for (const auto& view : measures.view->targets) {
      const std::string& target = scene.cell[view.target].name;
      const auto add = [&](Severity severity, double measured, double required, std::string message, std::string mend) {
        Finding finding = finding_at("sightline", severity, run, stretch, stretch.start_s);
        finding.between = {camera.name, target};
        finding.measured = measured;
        finding.required = required;
        finding.message = std::move(message);
        finding.mend = std::move(mend);
        findings.push_back(std::move(finding));
      };
      const double asked = scene.cell.rules.visible;
      if (view.visible < asked)
        add(Severity::fail, view.visible, asked,
            fmt::format("'{}' sees {:.1f} % of '{}', {:.1f} % asked: {}", camera.name, 100 * view.visible, target,
                        100 * asked, why_unseen(scene, view)),
            view.blocked_by.empty() ? "look from further back, or turn the camera to the target"
                                    : fmt::format("cut '{}' free of the view, move the camera, or look from elsewhere",
                                                  scene[view.blocked_by.front().body].name));
      if (view.in_range < 1)
        add(Severity::fail, view.in_range, 1.0,
            fmt::format("{:.1f} % of '{}' is outside the range of '{}' ({:g} to {:g} mm)", 100 * (1 - view.in_range),
                        target, camera.name, camera.near_mm, camera.far_mm),
            "look from nearer or further, or choose another lens");
      if (view.visible >= asked && view.rim && view.rim->blocked > 0)
        add(Severity::caution, view.rim->blocked, 0,
            fmt::format("the lens of '{}' sees '{}' from its centre, but {:.1f} % of the ways from its rim are blocked "
                        "by {}: the picture is dimmer there, and edges near the lens blur into it",
                        camera.name, target, 100 * view.rim->blocked, rim_blockers(scene, *view.rim)),
            fmt::format("cut '{}' free of the view with the lens's radius, or move the camera",
                        scene[view.rim->blocked_by.front().body].name));
      if (view.in_focus && !*view.in_focus)
        add(Severity::caution, 0, 1,
            fmt::format("'{}' is not in focus at all four corners of '{}'", camera.name, target),
            "set the focus distance to the target's, or close the aperture");
    }
  });
  return findings;
}

}  // namespace cellproof
