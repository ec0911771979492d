// SPDX-License-Identifier: GPL-3.0-or-later
// What a rigid thing weighs, where its centre of mass is and how it resists turning.
#pragma once

#include <limits>
#include <optional>

#include <tl/expected.hpp>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// Mass (kg), centre of mass (mm) and inertia about that centre (kg mm^2), all in one frame that the variable names.
/// `inertia` is NaN where it is not known.
struct RigidMass {
  double kg = std::numeric_limits<double>::quiet_NaN();
  Vector3d com = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());
  Eigen::Matrix3d inertia = Eigen::Matrix3d::Constant(std::numeric_limits<double>::quiet_NaN());
};

/// The same thing seen from the frame that its frame is placed in.
RigidMass placed_mass(const RigidMass& mass, const Pose& its_frame_in_other);

/// Both as one rigid thing; parallel axes. What weighs nothing adds nothing.
RigidMass mass_together(const RigidMass& a, const RigidMass& b);

/// Nothing: 0 kg, to add to.
RigidMass no_mass();

/// Inertia (kg mm^2) about the line through `point` (mm) along the unit vector `direction`.
double inertia_about(const RigidMass& mass, const Vector3d& point, const Vector3d& direction);

/// What the cell file says of a thing's matter.
struct Matter {
  std::optional<double> mass, density;  ///< kg, kg/m^3
  std::optional<Vector3d> com;          ///< mm, in the mesh's frame
};

/// As given, or by a density and a volume (mm^3, negative if the mesh is turned inside out); none if that is not there.
std::optional<double> kg_of(const Matter& matter, const std::optional<double>& volume_mm3);

/// Why a mass can't be had.
enum class MassLack { neither_given, open_mesh };

/// From the closed mesh's volume, centroid and inertia; a given mass and centre come first, and the mesh then gives the
/// inertia's distribution, taken about the given centre. An open mesh serves only where mass and centre are both given;
/// its inertia is NaN.
tl::expected<RigidMass, MassLack> rigid_mass(const Mesh& mesh, bool closed, const Matter& matter);

}  // namespace cellproof
