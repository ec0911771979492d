// SPDX-License-Identifier: GPL-3.0-or-later
// A body of another shape; everything else stays as it is.
#pragma once

#include "scene/scene.hpp"

namespace cellproof {

/// The same scene with another mesh for a body (into scene.bodies), made ready for distances and rays. Other meshes and
/// their trees are shared. The cell still names the body's own file.
Scene with_mesh(Scene scene, BodyId body, Mesh mesh);

}  // namespace cellproof
