// SPDX-License-Identifier: GPL-3.0-or-later
// P. Loriot, S. Tayeb et al., "Polygon Mesh Processing", CGAL user manual: corefinement with exact numbers.
#include "cad/mesh_cut.hpp"

#include <algorithm>
#include <optional>
#include <stdexcept>

#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <fmt/format.h>

#include "cad/umbrellas.hpp"

namespace cellproof::cad {

namespace {

namespace pmp = CGAL::Polygon_mesh_processing;
using Exact = CGAL::Exact_predicates_exact_constructions_kernel;
using ExactMesh = CGAL::Surface_mesh<Exact::Point_3>;
using Face = ExactMesh::Face_index;
using Trouble = tl::unexpected<std::string>;

/// Nothing if the triangles are no surface with two sides.
std::optional<ExactMesh> exact_mesh(const Mesh& mesh) {
  const Umbrellas umbrellas = umbrellas_of(mesh);
  ExactMesh exact;
  std::vector<ExactMesh::Vertex_index> vertices;
  for (const std::uint32_t of : umbrellas.vertex_of) {
    const Vector3d& at = mesh.vertices[of];
    vertices.push_back(exact.add_vertex({at.x(), at.y(), at.z()}));
  }
  for (const auto& [a, b, c] : umbrellas.triangles)
    if (exact.add_face(vertices[a], vertices[b], vertices[c]) == ExactMesh::null_face()) return std::nullopt;
  return exact;
}

Vector3d rounded(const Exact::Point_3& point) {
  return {CGAL::to_double(point.x()), CGAL::to_double(point.y()), CGAL::to_double(point.z())};
}

Mesh rounded(ExactMesh exact) {
  exact.collect_garbage();
  Mesh mesh;
  for (const auto vertex : exact.vertices()) mesh.vertices.push_back(rounded(exact.point(vertex)));
  for (const auto face : exact.faces()) {
    Triangle triangle{};
    std::size_t i = 0;
    for (const auto vertex : exact.vertices_around_face(exact.halfedge(face)))
      triangle.at(i++) = static_cast<std::uint32_t>(vertex);
    mesh.triangles.push_back(triangle);
  }
  return mesh;
}

Vector3d middle_of(const ExactMesh& mesh, Face face) {
  Vector3d sum = Vector3d::Zero();
  for (const auto vertex : mesh.vertices_around_face(mesh.halfedge(face))) sum += rounded(mesh.point(vertex));
  return sum / 3;
}

/// Where the surface meets itself beside its shared edges and corners; empty if nowhere.
std::string crossings(const ExactMesh& mesh) {
  std::vector<std::pair<Face, Face>> pairs;
  pmp::self_intersections(mesh, std::back_inserter(pairs));
  if (pairs.empty()) return {};
  const auto first = *std::min_element(pairs.begin(), pairs.end());
  const Vector3d one = middle_of(mesh, first.first), other = middle_of(mesh, first.second);
  return fmt::format(
      "crosses or touches itself in {} pairs of triangles; two of them have their middles at ({:.4g}, {:.4g}, {:.4g}) "
      "and ({:.4g}, {:.4g}, {:.4g}) mm",
      pairs.size(), one.x(), one.y(), one.z(), other.x(), other.y(), other.z());
}

struct OneCut {
  ExactMesh rest;
  Exact::FT common;
};

/// Both results of one corefinement. Error: a sentence's end.
tl::expected<OneCut, std::string> less(ExactMesh body, ExactMesh cutter) {
  OneCut cut;
  ExactMesh common;
  std::array<boost::optional<ExactMesh*>, 4> wanted;
  wanted[pmp::Corefinement::TM1_MINUS_TM2] = &cut.rest;
  wanted[pmp::Corefinement::INTERSECTION] = &common;
  const auto done = pmp::corefine_and_compute_boolean_operations(body, cutter, wanted);
  if (!done[pmp::Corefinement::TM1_MINUS_TM2])
    return Trouble("can't be cut there: what is left would hang together by a line or a point only");
  if (!done[pmp::Corefinement::INTERSECTION])
    return Trouble("can't be cut there: what comes off would hang together by a line or a point only");
  cut.common = pmp::volume(common);
  return cut;
}

}  // namespace

tl::expected<MeshCut, std::string> cut_mesh(const Mesh& body, const std::vector<Mesh>& cutters) {
  auto rest = exact_mesh(body);
  if (!rest || !CGAL::is_closed(*rest)) return Trouble("is not closed");
  if (std::string where = crossings(*rest); !where.empty()) return Trouble(std::move(where));
  MeshCut result;
  const Exact::FT before = pmp::volume(*rest);
  Exact::FT common = 0;
  for (const Mesh& cutter : cutters) {
    if (rest->is_empty()) break;
    auto exact_cutter = exact_mesh(cutter);
    if (!exact_cutter) throw std::logic_error("a cutter is no solid");
    auto cut = less(std::move(*rest), std::move(*exact_cutter));
    if (!cut) return Trouble(std::move(cut.error()));
    *rest = std::move(cut->rest);
    common += cut->common;
  }
  const Exact::FT after = pmp::volume(*rest);
  if (before != after + common)
    return Trouble(fmt::format("can't be cut: {:.9g} mm^3 are left of {:.9g} mm^3 where {:.9g} mm^3 had to come off",
                               CGAL::to_double(after), CGAL::to_double(before), CGAL::to_double(common)));
  result.before_mm3 = CGAL::to_double(before);
  result.after_mm3 = CGAL::to_double(after);
  result.common_mm3 = CGAL::to_double(common);
  if (!rest->is_empty()) result.rest = rounded(std::move(*rest));
  return result;
}

}  // namespace cellproof::cad
