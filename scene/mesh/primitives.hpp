// SPDX-License-Identifier: GPL-3.0-or-later
// Boxes, cylinders and spheres as meshes, each centred on its frame and inscribed; the deviation says how far the true
// surface stands outside.
#pragma once

#include "scene/mesh/mesh.hpp"

namespace cellproof {

Mesh box_mesh(const Vector3d& size);
Mesh cylinder_mesh(double radius, double height);
Mesh sphere_mesh(double radius);

}  // namespace cellproof
