// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/to_surface.hpp"

#include <cmath>
#include <stdexcept>

#include <gp_Cone.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Sphere.hxx>
#include <gp_Torus.hxx>

namespace cellproof::cad {

namespace {

/// A point seen along an axis: its height, and its distance from the axis with its direction.
struct RoundAxis {
  RoundAxis(const gp_Ax3& axes, const gp_XYZ& at) : axis(axes.Direction().XYZ()) {
    const gp_XYZ from_origin = at - axes.Location().XYZ();
    height = from_origin * axis;
    outward = from_origin - axis * height;
    radius = outward.Modulus();
    outward = radius > 0 ? outward / radius : axes.XDirection().XYZ();
  }
  gp_XYZ axis, outward;
  double height = 0, radius = 0;
};

gp_XYZ to_cone(const gp_Cone& cone, const gp_XYZ& at) {
  const RoundAxis here(cone.Position(), at);
  const double sine = std::sin(cone.SemiAngle()), cosine = std::cos(cone.SemiAngle());
  const double out = (here.radius - cone.RefRadius()) * cosine - here.height * sine;
  return (here.axis * sine - here.outward * cosine) * out;
}

gp_XYZ to_sphere(const gp_Sphere& sphere, const gp_XYZ& at) {
  const gp_XYZ from_middle = at - sphere.Location().XYZ();
  const double distance = from_middle.Modulus();
  if (distance == 0) return sphere.Position().Direction().XYZ() * sphere.Radius();
  return from_middle * (sphere.Radius() / distance - 1);
}

gp_XYZ to_torus(const gp_Torus& torus, const gp_XYZ& at) {
  const RoundAxis here(torus.Position(), at);
  const gp_XYZ from_ring = here.outward * (here.radius - torus.MajorRadius()) + here.axis * here.height;
  const double distance = from_ring.Modulus();
  if (distance == 0) return here.outward * torus.MinorRadius();
  return from_ring * (torus.MinorRadius() / distance - 1);
}

/// One step of Gauss and Newton towards the surface's point nearest to `at`; false where the surface has no two
/// directions, as in a pole.
bool step_nearer(const Geom_Surface& surface, const gp_XYZ& at, gp_XY& where, gp_XYZ& from_at) {
  gp_Pnt point;
  gp_Vec along_u, along_v;
  surface.D1(where.X(), where.Y(), point, along_u, along_v);
  from_at = point.XYZ() - at;
  const gp_XYZ &du = along_u.XYZ(), &dv = along_v.XYZ();
  const double uu = du * du, uv = du * dv, vv = dv * dv, det = uu * vv - uv * uv;
  if (!(det > 1e-12 * uu * vv)) return false;
  const double u = du * from_at, v = dv * from_at;
  where -= gp_XY((vv * u - uv * v) / det, (uu * v - uv * u) / det);
  return true;
}

}  // namespace

bool is_elementary(const GeomAdaptor_Surface& adaptor) {
  switch (adaptor.GetType()) {
    case GeomAbs_Cylinder:
    case GeomAbs_Cone:
    case GeomAbs_Sphere:
    case GeomAbs_Torus:
      return true;
    default:
      return false;
  }
}

gp_XYZ to_elementary(const GeomAdaptor_Surface& adaptor, const gp_XYZ& at) {
  switch (adaptor.GetType()) {
    case GeomAbs_Cylinder: {
      const gp_Cylinder cylinder = adaptor.Cylinder();
      const RoundAxis here(cylinder.Position(), at);
      return here.outward * (cylinder.Radius() - here.radius);
    }
    case GeomAbs_Cone:
      return to_cone(adaptor.Cone(), at);
    case GeomAbs_Sphere:
      return to_sphere(adaptor.Sphere(), at);
    case GeomAbs_Torus:
      return to_torus(adaptor.Torus(), at);
    default:
      throw std::logic_error("not an elementary surface");
  }
}

gp_XYZ to_any(const Geom_Surface& surface, const gp_XYZ& at, const std::vector<gp_XY>& starts) {
  constexpr int steps = 4;
  gp_XYZ nearest(HUGE_VAL, 0, 0), found;
  for (gp_XY where : starts)
    for (int i = 0; i < steps; ++i) {
      const bool more = step_nearer(surface, at, where, found);
      if (found.SquareModulus() < nearest.SquareModulus()) nearest = found;
      if (!more) break;
    }
  return nearest;
}

}  // namespace cellproof::cad
