// SPDX-License-Identifier: GPL-3.0-or-later
// What lies inside a mesh, closed or with holes.
#pragma once

#include "scene/solids/distance.hpp"

namespace cellproof {

/// Whether a point, in the solid's frame, lies in a closed solid: more surface is left than entered on a way out of it,
/// or less. On the surface either answer may come.
bool lies_inside(const Solid& solid, const Vector3d& point);

/// How a point lies to a mesh. A mesh with holes has it inside where it winds about it by more than a half, as more of
/// what is seen from there is surface than hole (A. Jacobson, L. Kavan, O. Sorkine-Hornung, 2013). If what winds about
/// it is a sheet (`is_sheet`), the point may as well stand in an enclosure drawn without its thickness.
enum class Within { outside, sheet, inside };
Within where_lies(const Solid& solid, const Vector3d& point);

/// The most that the shells of `inner` say. As one point of a shell lies, so does all of it, if the surfaces are apart
/// and `outer` is closed; through a hole a body comes in without touching.
Within where_shells_lie(const Solid& outer, const Solid& inner, const Pose& inner_in_outer);

/// Some shell of `inner` lies inside `outer`.
bool holds_shell_of(const Solid& outer, const Solid& inner, const Pose& inner_in_outer);

}  // namespace cellproof
