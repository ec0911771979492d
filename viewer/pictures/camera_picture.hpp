// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees, at its own resolution and through its own distortion, with what was measured written in.
#pragma once

#include <string>

#include "scene/sight/views.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

struct CameraPictureRequest {
  ViewRequest view;
  CameraView measured;  ///< of the same view: its shares are written beside targets and blockers
  std::string title, detail;
};

/// The camera's W × H pixels with a captioned strip below. Targets are outlined, end-effector bodies that take part of
/// the picture are tinted, outlined and named.
Image render_camera_picture(const Scene& scene, const CameraPictureRequest& request);

}  // namespace cellproof
