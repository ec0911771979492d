// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/relief_views.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/sight/sight.hpp"

namespace cellproof {

namespace {

constexpr double same_mm = 1e-4;  ///< solves of joint values for several seats differ by less

bool same(const ConvexSolid& a, const ConvexSolid& b) {
  return a.points.size() == b.points.size() &&
         std::equal(a.points.begin(), a.points.end(), b.points.begin(),
                    [](const Vector3d& p, const Vector3d& q) { return (p - q).norm() < same_mm; });
}

void add_new(std::vector<ConvexSolid>& solids, ConvexSolid solid) {
  if (std::none_of(solids.begin(), solids.end(), [&](const ConvexSolid& known) { return same(known, solid); }))
    solids.push_back(std::move(solid));
}

const Camera& camera_of(const Scene& scene, const ViewsAsked& asked) {
  return scene.cell.cameras[asked.camera];
}

Pose camera_in_frame(const Scene& scene, const ViewsAsked& asked, const Instant& at) {
  return at.frame_in_world[asked.frame].inverse() * pose_in_world(scene, at, camera_of(scene, asked).placed);
}

/// Where the camera always is in the frame; nothing if that depends on the joints.
std::optional<Pose> fixed_camera(const Scene& scene, const ViewsAsked& asked) {
  const Arrangement stated = stated_arrangement(scene);
  const Joints elsewhere = (Joints() << 0.3, -0.5, 0.7, 0.9, -1.1, 1.3).finished();
  const Pose one = camera_in_frame(scene, asked, instant(scene, stated, Joints::Zero()));
  const Pose other = camera_in_frame(scene, asked, instant(scene, stated, elsewhere));
  if (!one.isApprox(other, 1e-9)) return std::nullopt;
  return one;
}

tl::unexpected<ModelError> no_look(const std::string& camera) {
  return tl::unexpected(
      ModelError{fmt::format("the cycle comes to no look of '{}', and what is named does not ride with it: where it "
                             "stands in the view is not known",
                             camera),
                 "name a body that rides with the camera, or add the look to the cycle"});
}

tl::unexpected<ModelError> nothing_enclosed(const std::string& camera, const std::string& what) {
  return tl::unexpected(
      ModelError{fmt::format("between the lens of '{}' and {} there is no space to cut free", camera, what),
                 "look from where it is not edge on, or give the camera a lens_radius"});
}

}  // namespace

tl::expected<std::vector<ConvexSolid>, ModelError> views_in(const Scene& scene, const std::vector<Look>& looks,
                                                            const ViewsAsked& asked) {
  const Camera& camera = camera_of(scene, asked);
  std::vector<ConvexSolid> solids;
  if (asked.targets_only) {
    for (const Look& look : looks) {
      const Instant at = instant(scene, look.view.arrangement, look.view.joints);
      const Pose camera_in_world = pose_in_world(scene, at, camera.placed);
      for (const TargetId number : look.view.targets) {
        const Target& target = scene.cell.targets[number];
        const auto view = view_of_target(camera, camera_in_world.inverse() * pose_in_world(scene, at, target.placed),
                                         target.size, asked.margin_mm);
        if (!view) return nothing_enclosed(camera.name, fmt::format("'{}'", target.name));
        add_new(solids, placed(*view, camera_in_frame(scene, asked, at)));
      }
    }
    if (solids.empty())
      return tl::unexpected(ModelError{fmt::format("the cycle comes to no look of '{}' at a target", camera.name),
                                       "add one with `targets`, or leave --targets out"});
    return solids;
  }
  const auto view = view_of_frame(camera, asked.margin_mm);
  if (!view) return nothing_enclosed(camera.name, "its picture at the far end of its range");
  for (const Look& look : looks) {
    const Instant at = instant(scene, look.view.arrangement, look.view.joints);
    add_new(solids, placed(*view, camera_in_frame(scene, asked, at)));
  }
  if (!solids.empty()) return solids;
  const auto fixed = fixed_camera(scene, asked);
  if (!fixed) return no_look(camera.name);
  return std::vector<ConvexSolid>{placed(*view, *fixed)};
}

}  // namespace cellproof
