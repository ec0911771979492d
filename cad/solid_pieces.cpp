// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/solid_pieces.hpp"

#include <stdexcept>

#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakePolygon.hxx>
#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepLib.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Solid.hxx>
#include <gp_Ax1.hxx>
#include <gp_Ax2.hxx>
#include <gp_Trsf.hxx>

namespace cellproof::cad {

namespace {

gp_Pnt point(const Vector3d& at) {
  return {at.x(), at.y(), at.z()};
}

struct MakeSolid {
  TopoDS_Shape operator()(const BoxPiece& box) const {
    return BRepPrimAPI_MakeBox(point(-box.size / 2), point(box.size / 2)).Shape();
  }
  TopoDS_Shape operator()(const ConePiece& cone) const {
    const gp_Ax2 axes(gp_Pnt(0, 0, -cone.height / 2), gp::DZ());
    if (cone.radius == cone.top_radius) return BRepPrimAPI_MakeCylinder(axes, cone.radius, cone.height).Shape();
    return BRepPrimAPI_MakeCone(axes, cone.radius, cone.top_radius, cone.height).Shape();
  }
  TopoDS_Shape operator()(const SpherePiece& sphere) const { return BRepPrimAPI_MakeSphere(sphere.radius).Shape(); }
  TopoDS_Shape operator()(const TorusPiece& torus) const {
    return BRepPrimAPI_MakeTorus(torus.radius, torus.tube).Shape();
  }
  TopoDS_Shape operator()(const ExtrudedPiece& piece) const {
    BRepBuilderAPI_MakeFace face(wire_of(piece.outline, Vector3d::UnitX(), Vector3d::UnitY()), true);
    for (const Outline& hole : piece.holes)
      face.Add(TopoDS::Wire(wire_of(hole, Vector3d::UnitX(), Vector3d::UnitY()).Reversed()));
    if (!face.IsDone()) throw std::invalid_argument("an extruded outline bounds no face");
    const TopoDS_Shape solid = BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0, 0, piece.to - piece.from)).Shape();
    return placed(solid, Pose(Eigen::Translation3d(0, 0, piece.from)));
  }
  TopoDS_Shape operator()(const TurnedPiece& piece) const {
    BRepBuilderAPI_MakeFace face(wire_of(piece.outline, Vector3d::UnitX(), Vector3d::UnitZ()), true);
    return BRepPrimAPI_MakeRevol(face.Shape(), gp_Ax1(gp::Origin(), gp::DZ())).Shape();
  }
  TopoDS_Shape operator()(const PolyhedronPiece& piece) const {
    BRepBuilderAPI_Sewing sewing;
    for (const auto& face : piece.faces) {
      BRepBuilderAPI_MakePolygon polygon;
      for (const std::size_t i : face) polygon.Add(point(piece.points.at(i)));
      polygon.Close();
      sewing.Add(BRepBuilderAPI_MakeFace(polygon.Wire(), true).Face());
    }
    sewing.Perform();
    if (sewing.SewedShape().ShapeType() != TopAbs_SHELL) throw std::invalid_argument("a polyhedron does not close");
    return BRepBuilderAPI_MakeSolid(TopoDS::Shell(sewing.SewedShape())).Shape();
  }
};

}  // namespace

TopoDS_Shape solid_of(const Piece& piece) {
  const TopoDS_Shape shape = std::visit(MakeSolid{}, piece);
  if (shape.ShapeType() != TopAbs_SOLID) return shape;
  TopoDS_Solid solid = TopoDS::Solid(shape);
  BRepLib::OrientClosedSolid(solid);
  return solid;
}

TopoDS_Shape placed(const TopoDS_Shape& shape, const Pose& pose) {
  const auto& m = pose.matrix();
  gp_Trsf transformation;
  transformation.SetValues(m(0, 0), m(0, 1), m(0, 2), m(0, 3), m(1, 0), m(1, 1), m(1, 2), m(1, 3), m(2, 0), m(2, 1),
                           m(2, 2), m(2, 3));
  return shape.Moved(transformation);
}

}  // namespace cellproof::cad
