// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/outline.hpp"

#include <cmath>
#include <stdexcept>

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <GC_MakeArcOfCircle.hxx>
#include <TopoDS_Edge.hxx>
#include <fmt/format.h>
#include <gp_Ax2.hxx>
#include <gp_Circ.hxx>

namespace cellproof::cad {

namespace {

/// Where the sides end and the arc between them runs; all one point for a sharp corner.
struct Arc {
  Vector2d from, middle, to;
};

Arc arc_at(const Vector2d& before, const Corner& corner, const Vector2d& after) {
  if (corner.rounding == 0) return {corner.at, corner.at, corner.at};
  const Vector2d in = (before - corner.at).normalized(), out = (after - corner.at).normalized();
  const double half = std::acos(std::clamp(in.dot(out), -1.0, 1.0)) / 2;
  const double back = corner.rounding / std::tan(half);
  const Vector2d middle_way = (in + out).normalized();
  const double to_centre = corner.rounding / std::sin(half);
  return {corner.at + back * in, corner.at + (to_centre - corner.rounding) * middle_way, corner.at + back * out};
}

class WireMaker {
 public:
  WireMaker(const Vector3d& x_axis, const Vector3d& y_axis) : x_axis_(x_axis), y_axis_(y_axis) {}

  void add_corners(const std::vector<Corner>& corners) {
    const std::size_t count = corners.size();
    if (count < 3) throw std::invalid_argument("an outline has fewer than three corners");
    std::vector<Arc> arcs;
    for (std::size_t i = 0; i < count; ++i)
      arcs.push_back(arc_at(corners[(i + count - 1) % count].at, corners[i], corners[(i + 1) % count].at));
    for (std::size_t i = 0; i < count; ++i) {
      add_arc(arcs[i]);
      add_line(arcs[i].to, arcs[(i + 1) % count].from, corners[(i + 1) % count].at - corners[i].at);
    }
  }

  void add_circle(const Circle& circle) {
    const Vector3d normal = x_axis_.cross(y_axis_);
    const gp_Ax2 axes(point(circle.at), gp_Dir(normal.x(), normal.y(), normal.z()));
    wire_.Add(BRepBuilderAPI_MakeEdge(gp_Circ(axes, circle.radius)));
  }

  TopoDS_Wire wire() {
    if (!wire_.IsDone()) throw std::invalid_argument("an outline does not close");
    return wire_.Wire();
  }

 private:
  gp_Pnt point(const Vector2d& at) const {
    const Vector3d p = at.x() * x_axis_ + at.y() * y_axis_;
    return {p.x(), p.y(), p.z()};
  }

  void add_arc(const Arc& arc) {
    if ((arc.to - arc.from).norm() < shortest_mm) return;
    wire_.Add(
        BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(point(arc.from), point(arc.middle), point(arc.to)).Value()).Edge());
  }

  void add_line(const Vector2d& from, const Vector2d& to, const Vector2d& side) {
    if ((to - from).dot(side) < -shortest_mm * side.norm())
      throw std::invalid_argument(
          fmt::format("an outline's side at {}, {} is too short for the arcs at its ends", from.x(), from.y()));
    if ((to - from).norm() < shortest_mm) return;
    wire_.Add(BRepBuilderAPI_MakeEdge(point(from), point(to)).Edge());
  }

  static constexpr double shortest_mm = 1e-6;
  Vector3d x_axis_, y_axis_;
  BRepBuilderAPI_MakeWire wire_;
};

}  // namespace

TopoDS_Wire wire_of(const Outline& outline, const Vector3d& x_axis, const Vector3d& y_axis) {
  WireMaker maker(x_axis, y_axis);
  if (const auto* circle = std::get_if<Circle>(&outline))
    maker.add_circle(*circle);
  else
    maker.add_corners(std::get<std::vector<Corner>>(outline));
  return maker.wire();
}

}  // namespace cellproof::cad
