// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/cut_surface.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

#include "scene/solids/rays.hpp"
#include "scene/solids/surface_distance.hpp"

namespace cellproof {

namespace {

constexpr double on_plane_mm = 1e-5, accuracy_mm = 0.01;

struct Facet {
  Vector3d a, b, c;
  Vector3d middle() const { return (a + b + c) / 3; }
  Vector3d doubled_area() const { return (b - a).cross(c - a); }
  double reach() const {
    const Vector3d m = middle();
    return std::max({(a - m).norm(), (b - m).norm(), (c - m).norm()});
  }
  std::array<Facet, 4> quarters() const {
    const Vector3d ab = (a + b) / 2, bc = (b + c) / 2, ca = (c + a) / 2;
    return {Facet{a, ab, ca}, Facet{ab, b, bc}, Facet{ca, bc, c}, Facet{ab, bc, ca}};
  }
};

Facet facet_of(const Mesh& mesh, std::uint32_t triangle) {
  const auto& [a, b, c] = mesh.triangles[triangle];
  return {mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]};
}

/// In one plane with the half space's, and looking the other way.
bool lies_in(const Facet& facet, const HalfSpace& space) {
  const auto height = [&](const Vector3d& point) { return std::abs(space.normal.dot(point) - space.offset); };
  return height(facet.a) < on_plane_mm && height(facet.b) < on_plane_mm && height(facet.c) < on_plane_mm &&
         facet.doubled_area().dot(space.normal) < 0;
}

/// Calls take(point) at points of the triangle, no place of it further than `spacing` from one.
template <class Take>
void each_point(const Facet& facet, double spacing, const Take& take) {
  if (facet.reach() <= spacing) return take(facet.middle());
  for (const Facet& quarter : facet.quarters()) each_point(quarter, spacing, take);
}

}  // namespace

std::vector<std::uint32_t> cut_triangles(const Solid& before, const Mesh& rest,
                                         const std::vector<ConvexSolid>& cutters) {
  std::vector<HalfSpace> faces;
  for (const ConvexSolid& cutter : cutters)
    for (const HalfSpace& face : half_spaces(cutter)) faces.push_back(face);
  std::vector<std::uint32_t> found;
  for (std::uint32_t t = 0; t < rest.triangles.size(); ++t) {
    const Facet facet = facet_of(rest, t);
    if (std::any_of(faces.begin(), faces.end(), [&](const HalfSpace& face) { return lies_in(facet, face); }) &&
        distance_to_surface(before, facet.middle()) > on_plane_mm)
      found.push_back(t);
  }
  return found;
}

Measured deepest_cut(const Solid& before, const Mesh& rest, const std::vector<std::uint32_t>& cut) {
  struct CutPiece {
    double at_most;
    Facet facet;
    bool operator<(const CutPiece& other) const { return at_most < other.at_most; }
  };
  Measured deepest;
  std::priority_queue<CutPiece> open;
  const auto look_at = [&](const Facet& facet) {
    const Vector3d middle = facet.middle();
    const SurfacePlace place = nearest_place(before, middle);
    if (!(place.mm <= deepest.mm)) deepest = {place.mm, middle};
    // The distance from one triangle is convex, so that it is greatest at a corner: on a floor along the surface it is
    // hardly more than in the middle.
    double from_triangle = 0;
    for (const Vector3d& corner : {facet.a, facet.b, facet.c})
      from_triangle = std::max(from_triangle, distance_to_triangle(place.triangle, corner));
    open.push({std::min(place.mm + facet.reach(), from_triangle), facet});
  };
  for (const std::uint32_t triangle : cut) look_at(facet_of(rest, triangle));
  while (!open.empty() && open.top().at_most > deepest.mm + accuracy_mm) {
    const Facet facet = open.top().facet;
    open.pop();
    for (const Facet& quarter : facet.quarters()) look_at(quarter);
  }
  return deepest;
}

std::optional<Measured> least_wall(const Mesh& rest, const std::vector<std::uint32_t>& cut, double spacing_mm) {
  std::vector<Ray> rays;
  for (const std::uint32_t triangle : cut) {
    const Facet facet = facet_of(rest, triangle);
    const Vector3d inward = -facet.doubled_area().normalized();
    each_point(facet, spacing_mm, [&](const Vector3d& point) {
      Ray ray{.origin = point, .direction = inward};
      ray.near = 1e-3;  // past the surface that it starts on, in single precision
      rays.push_back(ray);
    });
  }
  const PlacedRayBody body{make_ray_body(rest), Pose::Identity()};
  std::vector<Hit> hits(rays.size());
  RayScene(std::span(&body, 1)).first_hits(rays, hits);
  std::optional<Measured> least;
  const double steepest = std::cos(pi / 6);
  for (std::size_t i = 0; i < hits.size(); ++i) {
    if (!hits[i].body || !(hits[i].normal.normalized().dot(rays[i].direction) >= steepest)) continue;
    if (!least || hits[i].along < least->mm) least = Measured{hits[i].along, rays[i].origin};
  }
  return least;
}

double wall_spacing(const Mesh& rest, const std::vector<std::uint32_t>& cut, double points) {
  double area = 0;
  for (const std::uint32_t triangle : cut) area += facet_of(rest, triangle).doubled_area().norm() / 2;
  return std::max(0.1, std::sqrt(area / points));
}

}  // namespace cellproof
