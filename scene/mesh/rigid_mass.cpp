// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/rigid_mass.hpp"

#include <cmath>

namespace cellproof {

namespace {

/// Inertia per mass of a point at `offset`.
Eigen::Matrix3d point_inertia(const Vector3d& offset) {
  return offset.squaredNorm() * Eigen::Matrix3d::Identity() - offset * offset.transpose();
}

constexpr double kg_per_mm3(double kg_per_m3) {
  return kg_per_m3 * 1e-9;
}

}  // namespace

RigidMass placed_mass(const RigidMass& mass, const Pose& its_frame_in_other) {
  const Eigen::Matrix3d turn = its_frame_in_other.linear();
  return {mass.kg, its_frame_in_other * mass.com, turn * mass.inertia * turn.transpose()};
}

RigidMass no_mass() {
  return {0, Vector3d::Zero(), Eigen::Matrix3d::Zero()};
}

RigidMass mass_together(const RigidMass& a, const RigidMass& b) {
  if (a.kg == 0) return b;
  if (b.kg == 0) return a;
  RigidMass both;
  both.kg = a.kg + b.kg;
  both.com = (a.kg * a.com + b.kg * b.com) / both.kg;
  both.inertia =
      a.inertia + b.inertia + a.kg * point_inertia(a.com - both.com) + b.kg * point_inertia(b.com - both.com);
  return both;
}

double inertia_about(const RigidMass& mass, const Vector3d& point, const Vector3d& direction) {
  return direction.dot((mass.inertia + mass.kg * point_inertia(mass.com - point)) * direction);
}

std::optional<double> kg_of(const Matter& matter, const std::optional<double>& volume_mm3) {
  if (matter.mass) return matter.mass;
  if (!matter.density || !volume_mm3) return std::nullopt;
  return kg_per_mm3(*matter.density) * std::abs(*volume_mm3);
}

tl::expected<RigidMass, MassLack> rigid_mass(const Mesh& mesh, bool closed, const Matter& matter) {
  if (!matter.mass && !matter.density) return tl::unexpected(MassLack::neither_given);
  RigidMass result;
  if (!closed) {
    if (!matter.mass || !matter.com) return tl::unexpected(MassLack::open_mesh);
    result.kg = *matter.mass;
    result.com = *matter.com;
    return result;
  }
  const SolidProperties solid = solid_properties(mesh);
  result.kg = *kg_of(matter, solid.volume);
  result.com = matter.com.value_or(solid.centroid);
  result.inertia = result.kg / solid.volume * solid.inertia;
  return result;
}

}  // namespace cellproof
