// SPDX-License-Identifier: GPL-3.0-or-later
// What lies inside a closed mesh.
#pragma once

#include "scene/solids/distance.hpp"

namespace cellproof {

/// Whether a point, in the solid's frame, lies in a closed solid: more surface is left than entered on a way out of it,
/// or less. On the surface either answer may come.
bool lies_inside(const Solid& solid, const Vector3d& point);

/// Some shell of `inner` lies inside `outer`, which is closed. As one point of a shell lies, so does all of it, if the
/// surfaces are apart.
bool holds_shell_of(const Solid& outer, const Solid& inner, const Pose& inner_in_outer);

}  // namespace cellproof
