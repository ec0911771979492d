// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/model_cautions.hpp"
#include "kinematics/entry.hpp"
#include "scene/mesh/mesh_pieces.hpp"
#include "scene/solids/open_mesh.hpp"

namespace cellproof {

namespace {

constexpr double sheet_mm = 0.01;                ///< thinner than any sheet metal (common practice)
constexpr std::size_t many_triangles = 200'000;  ///< of one body: more than a shape needs (common practice)

std::string place_text(const Box& box) {
  const Vector3d middle = (box.low + box.high) / 2;
  return fmt::format("({:.4g}, {:.4g}, {:.4g})", middle.x(), middle.y(), middle.z());
}

/// What is found to lie inside a mesh with holes.
std::string inside_text(const OpenMesh& open) {
  const bool sheet = std::any_of(open.shells.begin(), open.shells.end(), is_sheet);
  const bool turned = std::any_of(open.shells.begin(), open.shells.end(), [](const OpenShell& s) { return s.turned; });
  return fmt::format("what it surrounds by more than a half counts as inside it{}{}",
                     sheet ? ", but not what only a sheet surrounds that lacks a tenth of its surface or more" : "",
                     turned ? ", its faces turned alike, as they are not drawn so" : "");
}

Finding open_caution(const SceneBody& body) {
  const std::vector<Hole> all = holes(body.solid->mesh());
  const Hole& largest = all.front();
  return model_caution(
      {body.name},
      fmt::format("the mesh of '{}' is not closed ({} open edges in {} {}): {}; {} open edge{} of {:.4g} mm in all "
                  "lie{} around {} in its own frame",
                  body.name, body.solid->closed().open_edges, all.size(), all.size() == 1 ? "place" : "places",
                  inside_text(*body.solid->open()), largest.edges, largest.edges == 1 ? "" : "s", largest.length_mm,
                  largest.edges == 1 ? "s" : "", place_text(largest.box)),
      "close it in CAD and export again, if it is a solid");
}

/// Shells that are inside out or have no thickness: only a closed one shows either.
void add_shell_cautions(const SceneBody& body, std::vector<Finding>& findings) {
  const std::vector<Mesh> pieces = separate_shells(body.solid->mesh());
  const std::vector<char> turned = turned_inside_out(pieces);
  const auto flipped = std::find(turned.begin(), turned.end(), 1);
  if (flipped != turned.end()) {
    const Mesh& piece = entry(pieces, flipped - turned.begin());
    findings.push_back(model_caution(
        {body.name},
        fmt::format(
            "{} of the {} closed shells of '{}' {} turned inside out; the first, around {} in its own frame, has "
            "a volume of {:.4g} mm^3",
            std::count(turned.begin(), turned.end(), 1), pieces.size(), body.name,
            std::count(turned.begin(), turned.end(), 1) == 1 ? "is" : "are", place_text(box_of(piece)),
            solid_properties(piece).volume),
        "turn its faces round in CAD and export again"));
  }
  for (const Mesh& piece : pieces) {
    if (!closedness(piece).closed) continue;
    const double thickness = 2 * std::abs(solid_properties(piece).volume) / surface_area(piece);
    const Vector3d size = box_of(piece).high - box_of(piece).low;
    if (thickness >= sheet_mm || thickness > 1e-3 * size.norm()) continue;
    findings.push_back(model_caution(
        {body.name},
        fmt::format("'{}' has a sheet {:.2g} mm thick around {} in its own frame, {:.4g} x {:.4g} x {:.4g} mm",
                    body.name, thickness, place_text(box_of(piece)), size.x(), size.y(), size.z()),
        "give it its true thickness in CAD, or leave it out"));
    return;
  }
}

}  // namespace

std::vector<Finding> surface_cautions(const Scene& scene, const SceneBody& body) {
  std::vector<Finding> findings;
  const MeshSource* source = mesh_source_of(scene.cell, body.name);
  if (!body.solid->closed().closed) findings.push_back(open_caution(body));
  if (source) add_shell_cautions(body, findings);
  if (body.degenerate_dropped > 0)
    findings.push_back(model_caution(
        {body.name},
        fmt::format("{} triangles of '{}' have no area and were left out", body.degenerate_dropped, body.name),
        "export again with a coarser tolerance, if the surface looks torn"));
  const std::size_t triangles = body.solid->mesh().triangles.size();
  if (source && !source->simplify_mm && triangles > many_triangles)
    findings.push_back(model_caution(
        {body.name},
        fmt::format("'{}' has {} triangles, {:.2g} mm wide on the average: more than its shape is likely to need",
                    body.name, triangles,
                    std::sqrt(2 * surface_area(body.solid->mesh()) / static_cast<double>(triangles))),
        "add simplify = \"0.1 mm\" to it, which the clearances then allow for, or export it more coarsely"));
  return findings;
}

}  // namespace cellproof
