// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/camera_inset.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "viewer/pictures/moment_pictures.hpp"

namespace cellproof {

namespace {

/// The same view in fewer pixels. The middle of a pixel is a whole number, so that half a pixel is taken off and added.
Camera with_width(Camera camera, int width) {
  const double scale = static_cast<double>(width) / camera.width;
  camera.width = width;
  camera.height = std::max(1, static_cast<int>(std::lround(camera.height * scale)));
  camera.fx *= scale;
  camera.fy *= scale;
  camera.cx = (camera.cx + 0.5) * scale - 0.5;
  camera.cy = (camera.cy + 0.5) * scale - 0.5;
  return camera;
}

std::string words_of(const Scene& scene, const CameraView& view) {
  std::string words;
  const auto name = [&](BodyId body) { return scene.bodies[body].name; };
  for (const TargetView& target : view.targets) {
    if (!(target.in_frame > 0)) continue;
    if (!words.empty()) words += "; ";
    words += fmt::format("{} {:.1f} % visible", scene.cell.targets[target.target].name, 100 * target.visible);
    for (std::size_t i = 0; i < std::min<std::size_t>(2, target.blocked_by.size()); ++i)
      words += fmt::format("{} {} covers {:.1f} %", i == 0 ? ":" : ",", name(target.blocked_by[i].body),
                           100 * target.blocked_by[i].share);
  }
  if (words.empty()) words = "no target in the picture";
  return words;
}

}  // namespace

CameraInset camera_inset(const Scene& scene, const Moment& moment, CameraId camera, int width) {
  Scene small = scene;
  Camera& view = small.cell.cameras[camera];
  view = with_width(view, width);
  CameraPictureRequest request;
  request.view.camera = camera;
  request.view.targets = targets_at(scene, moment, view.name);
  request.view.arrangement = moment.arrangement;
  request.view.joints = moment.joints;
  request.view.threads = 1;
  request.measured = measure_view(small, request.view);
  request.title = view.name;
  request.detail = words_of(scene, request.measured);
  return {render_camera_picture(small, request), request.detail};
}

}  // namespace cellproof
