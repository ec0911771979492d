// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh_facts.hpp"

#include "scene/mesh/mesh_pieces.hpp"

namespace cellproof {

ShapeFacts shape_facts(const Mesh& mesh) {
  ShapeFacts facts;
  const Closedness closed = closedness(mesh);
  facts.triangles = mesh.triangles.size();
  facts.closed = closed.closed;
  facts.open_edges = closed.open_edges;
  if (closed.closed) facts.volume_mm3 = solid_properties(mesh).volume;
  facts.area_mm2 = surface_area(mesh);
  facts.box = box_of(mesh);
  return facts;
}

MeshFacts mesh_facts(const Mesh& mesh) {
  MeshFacts facts;
  facts.whole = shape_facts(mesh);
  for (const Mesh& piece : separate_shells(mesh)) facts.solids.push_back(shape_facts(piece));
  return facts;
}

}  // namespace cellproof
