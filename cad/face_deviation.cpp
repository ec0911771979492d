// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/face_deviation.hpp"

#include <algorithm>
#include <array>

#include <BRep_Tool.hxx>
#include <GeomAdaptor_Surface.hxx>
#include <Geom_Surface.hxx>
#include <Poly_Triangulation.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>

#include "cad/to_surface.hpp"

namespace cellproof::cad {

namespace {

/// Weights of a triangle's corners.
constexpr std::array<std::array<double, 3>, 7> samples = {{{1. / 3, 1. / 3, 1. / 3},
                                                           {0.5, 0.5, 0},
                                                           {0, 0.5, 0.5},
                                                           {0.5, 0, 0.5},
                                                           {2. / 3, 1. / 6, 1. / 6},
                                                           {1. / 6, 2. / 3, 1. / 6},
                                                           {1. / 6, 1. / 6, 2. / 3}}};

struct MeshedFace {
  Handle(Geom_Surface) surface;
  GeomAdaptor_Surface adaptor;
  Handle(Poly_Triangulation) triangulation;
  double outward = 1;  ///< -1 where the triangles' normals, as stored, look into the solid
};

struct MeshedTriangle {
  std::array<gp_XYZ, 3> corner;
  std::array<gp_XY, 3> parameter;
};

MeshedTriangle meshed_triangle(const MeshedFace& face, const Poly_Triangle& triangle) {
  MeshedTriangle result;
  for (std::size_t i = 0; i < 3; ++i) {
    const int node = triangle.Value(static_cast<int>(i) + 1);
    result.corner[i] = face.triangulation->Node(node).XYZ();
    result.parameter[i] = face.triangulation->UVNode(node).XY();
  }
  return result;
}

/// From a point of the triangle to the surface. The corners' own parameters help only where the first way would be
/// longer than `enough`: beside a pole they say little of the points between.
gp_XYZ way_to_surface(const MeshedFace& face, const MeshedTriangle& triangle, const std::array<double, 3>& weights,
                      double enough) {
  const auto& [a, b, c] = weights;
  const gp_XYZ at = triangle.corner[0] * a + triangle.corner[1] * b + triangle.corner[2] * c;
  if (is_elementary(face.adaptor)) return to_elementary(face.adaptor, at);
  const auto& [pa, pb, pc] = triangle.parameter;
  const gp_XYZ way = to_any(*face.surface, at, {pa * a + pb * b + pc * c});
  if (way.Modulus() <= enough) return way;
  return to_any(*face.surface, at, {pa * a + pb * b + pc * c, pa, pb, pc, (pa + pb) / 2, (pb + pc) / 2, (pc + pa) / 2});
}

void add_triangle(const MeshedFace& face, const MeshedTriangle& triangle, Deviation& most) {
  const auto& [a, b, c] = triangle.corner;
  const gp_XYZ normal = ((b - a) ^ (c - a)) * face.outward;
  if (!(normal.SquareModulus() > 0)) return;
  for (const auto& weights : samples) {
    const gp_XYZ way = way_to_surface(face, triangle, weights, std::min(most.outside, most.inside));
    double& side = way * normal > 0 ? most.outside : most.inside;
    side = std::max(side, way.Modulus());
  }
}

void add_face(const TopoDS_Face& face, Deviation& most) {
  TopLoc_Location place;
  const Handle(Geom_Surface) surface = BRep_Tool::Surface(face, place);
  const auto triangulation = BRep_Tool::Triangulation(face, place);
  const GeomAdaptor_Surface adaptor(surface);
  if (adaptor.GetType() == GeomAbs_Plane) return;
  const MeshedFace meshed{surface, adaptor, triangulation, face.Orientation() == TopAbs_REVERSED ? -1.0 : 1.0};
  for (int i = 1; i <= triangulation->NbTriangles(); ++i)
    add_triangle(meshed, meshed_triangle(meshed, triangulation->Triangle(i)), most);
}

double tolerance_of(const TopoDS_Shape& shape) {
  double most = 0;
  for (TopExp_Explorer edge(shape, TopAbs_EDGE); edge.More(); edge.Next())
    most = std::max(most, BRep_Tool::Tolerance(TopoDS::Edge(edge.Current())));
  for (TopExp_Explorer vertex(shape, TopAbs_VERTEX); vertex.More(); vertex.Next())
    most = std::max(most, BRep_Tool::Tolerance(TopoDS::Vertex(vertex.Current())));
  return most;
}

}  // namespace

Deviation deviation_of(const TopoDS_Shape& shape) {
  Deviation most;
  for (TopExp_Explorer face(shape, TopAbs_FACE); face.More(); face.Next()) add_face(TopoDS::Face(face.Current()), most);
  const double tolerance = tolerance_of(shape);
  return {most.outside + tolerance, most.inside + tolerance};
}

}  // namespace cellproof::cad
