// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees at a moment, small enough to be drawn as the cycle runs.
#pragma once

#include <string>

#include "viewer/pictures/image.hpp"
#include "viewer/pictures/moment.hpp"

namespace cellproof {

struct CameraInset {
  Image image;        ///< `width` pixels wide, in the camera's proportions
  std::string words;  ///< "printed mark 66.9 % visible: hose bracket covers 33.1 %", or what else there is to say
};

/// The camera's own view with fewer pixels: each stands for several of the camera's. The shares are measured as
/// everywhere else. Targets are those of the step, where it looks with this camera, else all of them.
CameraInset camera_inset(const Scene& scene, const Moment& moment, CameraId camera, int width);

}  // namespace cellproof
