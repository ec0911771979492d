// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/open_mesh.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <numeric>

namespace cellproof {

namespace {

using Edge = std::array<std::uint32_t, 2>;

/// A side of a triangle, on its edge from the lower vertex to the higher.
struct TriangleSide {
  Edge edge;
  std::uint32_t triangle = 0;
  bool rising = false;
};

double area_of(const Mesh& mesh, std::uint32_t triangle) {
  const auto& [a, b, c] = mesh.triangles[triangle];
  return (mesh.vertices[b] - mesh.vertices[a]).cross(mesh.vertices[c] - mesh.vertices[a]).norm() / 2;
}

/// 1 for the first triangle on its three corners, 0 for the others.
std::vector<std::int8_t> each_once(const Mesh& mesh) {
  std::vector<std::pair<Triangle, std::uint32_t>> sorted;
  for (const Triangle& triangle : mesh.triangles) {
    sorted.emplace_back(triangle, static_cast<std::uint32_t>(sorted.size()));
    std::sort(sorted.back().first.begin(), sorted.back().first.end());
  }
  std::sort(sorted.begin(), sorted.end());
  std::vector<std::int8_t> times(mesh.triangles.size(), 0);
  for (std::size_t i = 0; i < sorted.size(); ++i)
    if (i == 0 || sorted[i].first != sorted[i - 1].first) times[sorted[i].second] = 1;
  return times;
}

/// Of the triangles that count, edge by edge.
std::vector<TriangleSide> sides_of(const Mesh& mesh, const std::vector<std::int8_t>& times) {
  std::vector<TriangleSide> sides;
  sides.reserve(3 * mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t i = 0; times[t] != 0 && i < 3; ++i) {
      const std::uint32_t from = mesh.triangles[t][i], to = mesh.triangles[t][(i + 1) % 3];
      sides.push_back({{std::min(from, to), std::max(from, to)}, t, from < to});
    }
  std::sort(sides.begin(), sides.end(), [](const TriangleSide& a, const TriangleSide& b) {
    return a.edge != b.edge ? a.edge < b.edge : a.triangle < b.triangle;
  });
  return sides;
}

/// Calls visit(first, last) for the sides of every edge.
template <class Visit>
void each_edge(const std::vector<TriangleSide>& sides, const Visit& visit) {
  for (auto first = sides.begin(); first != sides.end();) {
    const auto last =
        std::find_if(first, sides.end(), [&](const TriangleSide& side) { return side.edge != first->edge; });
    visit(first, last);
    first = last;
  }
}

/// Across an edge of two: the other triangle, and whether both are drawn alike.
struct Neighbour {
  std::uint32_t triangle;
  bool alike;
};

std::vector<std::vector<Neighbour>> neighbours_of(const Mesh& mesh, const std::vector<TriangleSide>& sides) {
  std::vector<std::vector<Neighbour>> neighbours(mesh.triangles.size());
  each_edge(sides, [&](auto first, auto last) {
    if (last - first != 2) return;
    const TriangleSide &a = first[0], &b = first[1];
    neighbours[a.triangle].push_back({b.triangle, a.rising != b.rising});
    neighbours[b.triangle].push_back({a.triangle, a.rising != b.rising});
  });
  return neighbours;
}

/// Turns each patch of neighbours alike, and tells the shells in which that turned anything.
void turn_alike(const Mesh& mesh, const std::vector<TriangleSide>& sides, OpenMesh& open) {
  const auto neighbours = neighbours_of(mesh, sides);
  std::vector<char> seen(mesh.triangles.size(), 0);
  for (std::uint32_t start = 0; start < mesh.triangles.size(); ++start) {
    if (seen[start] || open.times[start] == 0) continue;
    std::vector<std::uint32_t> patch{start};
    seen[start] = 1;
    double as_drawn = 0, turned = 0;
    for (std::size_t i = 0; i < patch.size(); ++i) {
      const std::uint32_t here = patch[i];
      (open.times[here] > 0 ? as_drawn : turned) += area_of(mesh, here);
      for (const Neighbour& next : neighbours[here]) {
        const auto wanted = static_cast<std::int8_t>(next.alike ? open.times[here] : -open.times[here]);
        if (seen[next.triangle]) {
          if (open.times[next.triangle] != wanted) open.shells[open.shell_of[here]].turned = true;  // has one side only
          continue;
        }
        seen[next.triangle] = 1;
        open.times[next.triangle] = wanted;
        patch.push_back(next.triangle);
      }
    }
    if (turned > 0) open.shells[open.shell_of[start]].turned = true;
    if (turned > as_drawn)
      for (const std::uint32_t triangle : patch) open.times[triangle] = static_cast<std::int8_t>(-open.times[triangle]);
  }
}

std::uint32_t root(std::vector<std::uint32_t>& parent, std::uint32_t vertex) {
  while (parent[vertex] != vertex) vertex = parent[vertex] = parent[parent[vertex]];
  return vertex;
}

/// An edge that more triangles run along one way than the other: `times` more from low to high.
struct OpenEdge {
  Edge edge;
  std::uint32_t shell;
  int times;
};

std::vector<OpenEdge> open_edges_of(const std::vector<TriangleSide>& sides, const OpenMesh& open) {
  std::vector<OpenEdge> edges;
  each_edge(sides, [&](auto first, auto last) {
    int sum = 0;
    for (auto side = first; side != last; ++side)
      sum += side->rising ? open.times[side->triangle] : -open.times[side->triangle];
    if (sum != 0) edges.push_back({first->edge, open.shell_of[first->triangle], sum});
  });
  return edges;
}

/// What hangs together of the open edges is a hole, capped from the middle of its corners.
struct HoleSum {
  Vector3d corners = Vector3d::Zero(), area = Vector3d::Zero();
  double count = 0;
  std::uint32_t shell = 0;
};

void cap_holes(const Mesh& mesh, const std::vector<OpenEdge>& edges, OpenMesh& open) {
  std::vector<std::uint32_t> parent(mesh.vertices.size());
  std::iota(parent.begin(), parent.end(), 0U);
  for (const OpenEdge& open_edge : edges) parent[root(parent, open_edge.edge[1])] = root(parent, open_edge.edge[0]);
  std::map<std::uint32_t, HoleSum> holes;
  for (const OpenEdge& open_edge : edges) {
    HoleSum& hole = holes[root(parent, open_edge.edge[0])];
    hole.corners += mesh.vertices[open_edge.edge[0]] + mesh.vertices[open_edge.edge[1]];
    hole.count += 2;
    hole.shell = open_edge.shell;
  }
  for (const OpenEdge& open_edge : edges) {
    HoleSum& hole = holes[root(parent, open_edge.edge[0])];
    const Vector3d middle = hole.corners / hole.count, low = mesh.vertices[open_edge.edge[0]],
                   high = mesh.vertices[open_edge.edge[1]];
    open.caps.push_back({{middle, high, low}, open_edge.shell, open_edge.times});
    hole.area += open_edge.times / 2.0 * (high - middle).cross(low - middle);
  }
  std::vector<double> missing(open.shells.size(), 0), there(open.shells.size(), 0);
  for (const auto& [vertex, hole] : holes) missing[hole.shell] += hole.area.norm();
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
    if (open.times[t] != 0) there[open.shell_of[t]] += area_of(mesh, t);
  for (std::size_t s = 0; s < open.shells.size(); ++s)
    open.shells[s].missing_share = missing[s] / (missing[s] + there[s]);
}

/// Six times the volume under a triangle, seen from a place.
double volume_under(const std::array<Vector3d, 3>& t, const Vector3d& from) {
  return (t[0] - from).dot((t[1] - from).cross(t[2] - from));
}

std::array<Vector3d, 3> corners_of(const Mesh& mesh, std::uint32_t triangle) {
  const auto& [a, b, c] = mesh.triangles[triangle];
  return {mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]};
}

bool holds(const Box& outer, const Box& inner) {
  return outer.contains(inner.low) && outer.contains(inner.high);
}

/// A cavity may be drawn inside out, what no other box holds may not.
void turn_shells(const Mesh& mesh, OpenMesh& open) {
  std::vector<double> volumes(open.shells.size(), 0);
  std::vector<Box> boxes(open.shells.size());
  const Vector3d from = mesh.vertices.front();
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    volumes[open.shell_of[t]] += open.times[t] * volume_under(corners_of(mesh, t), from);
    for (const std::uint32_t vertex : mesh.triangles[t]) boxes[open.shell_of[t]].add(mesh.vertices[vertex]);
  }
  for (const HoleCap& cap : open.caps) volumes[cap.shell] += cap.times * volume_under(cap.corners, from);
  std::vector<char> turn(open.shells.size(), 0);
  for (std::size_t s = 0; s < turn.size(); ++s) {
    if (volumes[s] >= 0) continue;
    turn[s] = 1;
    for (std::size_t other = 0; other < turn.size() && turn[s]; ++other)
      if (other != s && holds(boxes[other], boxes[s])) turn[s] = 0;
  }
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
    if (turn[open.shell_of[t]]) open.times[t] = static_cast<std::int8_t>(-open.times[t]);
  for (HoleCap& cap : open.caps)
    if (turn[cap.shell]) cap.times = -cap.times;
}

}  // namespace

OpenMesh open_mesh_of(const Mesh& mesh) {
  OpenMesh open;
  Shells found = shells(mesh);
  open.shell_of = std::move(found.shell_of_triangle);
  open.shells.resize(found.count);
  open.times = each_once(mesh);
  const std::vector<TriangleSide> sides = sides_of(mesh, open.times);
  turn_alike(mesh, sides, open);
  cap_holes(mesh, open_edges_of(sides, open), open);
  turn_shells(mesh, open);
  return open;
}

}  // namespace cellproof
