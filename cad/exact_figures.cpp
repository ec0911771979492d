// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/exact_figures.hpp"

#include <algorithm>
#include <cmath>

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <fmt/format.h>

namespace cellproof::cad {

namespace {

Eigen::Matrix3d matrix_of(const gp_Mat& m) {
  Eigen::Matrix3d result;
  for (int row = 0; row < 3; ++row)
    for (int column = 0; column < 3; ++column) result(row, column) = m(row + 1, column + 1);
  return result;
}

}  // namespace

tl::expected<ExactFigures, std::string> exact_figures(const TopoDS_Shape& shape, const Mesh& mesh) {
  GProp_GProps of_surface, of_volume;
  BRepGProp::SurfaceProperties(shape, of_surface);
  BRepGProp::VolumeProperties(shape, of_volume);
  const gp_Pnt centre = of_volume.CentreOfMass();
  ExactFigures exact;
  exact.area = of_surface.Mass();
  exact.solid = {of_volume.Mass(), Vector3d(centre.X(), centre.Y(), centre.Z()),
                 matrix_of(of_volume.MatrixOfInertia())};
  const double by_triangles = solid_properties(mesh).volume;
  const double room = (mesh.deviation.outside + mesh.deviation.inside) * std::max(exact.area, surface_area(mesh)) +
                      1e-6 * std::abs(by_triangles);
  if (!(std::abs(exact.solid.volume - by_triangles) <= room))
    return tl::unexpected(
        fmt::format("contradicts itself: its surfaces enclose {:.6g} mm^3, their triangles {:.6g} mm^3",
                    exact.solid.volume, by_triangles));
  return exact;
}

}  // namespace cellproof::cad
