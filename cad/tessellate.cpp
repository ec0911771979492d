// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/tessellate.hpp"

#include <algorithm>
#include <cmath>

#include <BRepBndLib.hxx>
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRepTools.hxx>
#include <BRep_Builder.hxx>
#include <BRep_Tool.hxx>
#include <Bnd_Box.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <fmt/format.h>

#include "cad/exact_figures.hpp"
#include "cad/face_deviation.hpp"
#include "scene/mesh/weld.hpp"

namespace cellproof::cad {

namespace {

using Trouble = tl::unexpected<std::string>;

constexpr double farthest_mm = 1e9;
constexpr double finest =
    5e-7;  ///< deviation over the model's size: beyond it triangles are counted by the hundred million
constexpr double first_part = 0.75;   ///< of the deviation, asked of the mesher
constexpr double margin = 1.25;       ///< on what is measured at samples
constexpr double largest_turn = 0.5;  ///< rad between neighbouring normals

/// Solids, and all faces outside of solids together.
std::vector<TopoDS_Shape> pieces_of(const TopoDS_Shape& shape) {
  std::vector<TopoDS_Shape> pieces;
  for (TopExp_Explorer solid(shape, TopAbs_SOLID); solid.More(); solid.Next()) pieces.push_back(solid.Current());
  const BRep_Builder builder;
  TopoDS_Compound loose;
  builder.MakeCompound(loose);
  bool any = false;
  for (TopExp_Explorer face(shape, TopAbs_FACE, TopAbs_SOLID); face.More(); face.Next(), any = true)
    builder.Add(loose, face.Current());
  if (any) pieces.push_back(loose);
  return pieces;
}

/// What keeps the shape from being meshed at all; empty if nothing does.
std::string trouble_with_size(const TopoDS_Shape& shape, double deviation_mm) {
  Bnd_Box box;
  BRepBndLib::Add(shape, box, false);
  if (box.IsVoid() || box.IsOpen()) return "has no extent, or one without end";
  const double size = std::sqrt(box.SquareExtent());
  if (!(box.CornerMin().XYZ().Modulus() < farthest_mm && box.CornerMax().XYZ().Modulus() < farthest_mm))
    return "reaches more than 1000 km far; its unit is wrong or it is broken";
  if (deviation_mm < finest * size)
    return fmt::format("is {:.0f} mm large, too large for a deviation of {} mm; ask for {:.2g} mm or more", size,
                       deviation_mm, 1.1 * finest * size);
  return {};
}

/// Counter-clockwise from outside.
void add_corners(const TopoDS_Face& face, std::vector<Vector3d>& corners) {
  TopLoc_Location place;
  const auto triangulation = BRep_Tool::Triangulation(face, place);
  const gp_Trsf in_model = place.Transformation();
  const bool turned = (face.Orientation() == TopAbs_REVERSED) != in_model.IsNegative();
  const auto add = [&](int node) {
    const gp_Pnt at = triangulation->Node(node).Transformed(in_model);
    corners.emplace_back(at.X(), at.Y(), at.Z());
  };
  for (int i = 1; i <= triangulation->NbTriangles(); ++i) {
    int a = 0, b = 0, c = 0;
    triangulation->Triangle(i).Get(a, b, c);
    add(a);
    add(turned ? c : b);
    add(turned ? b : c);
  }
}

Mesh mesh_of(const TopoDS_Shape& piece) {
  std::vector<Vector3d> corners;
  for (TopExp_Explorer face(piece, TopAbs_FACE); face.More(); face.Next())
    add_corners(TopoDS::Face(face.Current()), corners);
  return weld(corners).mesh;
}

void append(Mesh& whole, const Mesh& piece) {
  const auto first = static_cast<std::uint32_t>(whole.vertices.size());
  whole.vertices.insert(whole.vertices.end(), piece.vertices.begin(), piece.vertices.end());
  for (const auto& [a, b, c] : piece.triangles) whole.triangles.push_back({first + a, first + b, first + c});
}

/// Faces that the mesher could make nothing of.
int faces_without_triangles(const TopoDS_Shape& shape) {
  int count = 0;
  for (TopExp_Explorer face(shape, TopAbs_FACE); face.More(); face.Next()) {
    TopLoc_Location place;
    if (BRep_Tool::Triangulation(TopoDS::Face(face.Current()), place).IsNull()) ++count;
  }
  return count;
}

/// Meshes finer until what is measured keeps to the deviation. Error as for tessellate.
tl::expected<Deviation, std::string> mesh_within(const TopoDS_Shape& shape, double deviation_mm) {
  constexpr int tries = 4;
  double asked = first_part * deviation_mm, worst = 0;
  for (int i = 0; i < tries; ++i) {
    BRepTools::Clean(shape);
    BRepMesh_IncrementalMesh(shape, asked, false, largest_turn, false);
    if (const int lost = faces_without_triangles(shape); lost > 0)
      return Trouble(fmt::format("has {} faces that can't be turned into triangles", lost));
    const Deviation measured = deviation_of(shape);
    const Deviation stated{margin * measured.outside, margin * measured.inside};
    worst = std::max(stated.outside, stated.inside);
    if (worst <= deviation_mm) return stated;
    asked *= std::clamp(0.9 * deviation_mm / worst, 0.25, 0.9);
  }
  return Trouble(
      fmt::format("can't be turned into triangles within {} mm, {:.2g} mm is what comes out", deviation_mm, worst));
}

}  // namespace

tl::expected<Mesh, std::string> tessellate(const TopoDS_Shape& shape, double deviation_mm) {
  if (std::string trouble = trouble_with_size(shape, deviation_mm); !trouble.empty())
    return Trouble(std::move(trouble));
  const auto deviation = mesh_within(shape, deviation_mm);
  if (!deviation) return Trouble(deviation.error());
  Mesh whole;
  bool closed = true;
  for (const TopoDS_Shape& piece : pieces_of(shape)) {
    const Mesh mesh = mesh_of(piece);
    closed = closed && piece.ShapeType() == TopAbs_SOLID && closedness(mesh).closed;
    append(whole, mesh);
  }
  if (whole.triangles.empty()) return Trouble("has no triangles with an area");
  whole.deviation = *deviation;
  if (!closed) return whole;
  auto exact = exact_figures(shape, whole);
  if (!exact) return Trouble(exact.error());
  whole.exact = *exact;
  return whole;
}

}  // namespace cellproof::cad
