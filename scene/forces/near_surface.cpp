// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/near_surface.hpp"

#include <algorithm>
#include <map>
#include <numeric>

#include "kinematics/entry.hpp"

namespace cellproof {

namespace {

constexpr double flat_cos = 1 - 5e-7;    // a thousandth of a radian
constexpr double facet_cos = 0.8660254;  // 30 degrees

bool apart(const Vector3d& low, const Vector3d& high, const Box& box) {
  return (low.array() > box.high.array()).any() || (high.array() < box.low.array()).any();
}

/// Finds what hangs together.
class Groups {
 public:
  explicit Groups(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), 0U); }
  std::uint32_t of(std::uint32_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::uint32_t a, std::uint32_t b) { parent_[of(a)] = of(b); }

 private:
  std::vector<std::uint32_t> parent_;
};

}  // namespace

NearSurface::NearSurface(const PlacedMesh& placed, const Box& box) : closed_(placed.closed) {
  add_faces(placed, box);
  join_neighbours();
  gather_flats();
}

void NearSurface::add_faces(const PlacedMesh& placed, const Box& box) {
  const Mesh& mesh = *placed.mesh;
  std::vector<Vector3d> points;
  points.reserve(mesh.vertices.size());
  for (const Vector3d& vertex : mesh.vertices) points.push_back(placed.pose * vertex);
  const auto bounds = [&](const Triangle& triangle, Vector3d& low, Vector3d& high) {
    low = points[triangle[0]].cwiseMin(points[triangle[1]]).cwiseMin(points[triangle[2]]);
    high = points[triangle[0]].cwiseMax(points[triangle[1]]).cwiseMax(points[triangle[2]]);
  };
  std::vector<char> touched(points.size(), 0);
  Vector3d low, high;
  for (const Triangle& triangle : mesh.triangles) {
    bounds(triangle, low, high);
    if (apart(low, high, box)) continue;
    for (const std::uint32_t corner : triangle) touched[corner] = 1;
  }
  std::vector<int> number(points.size(), -1);
  for (const Triangle& triangle : mesh.triangles) {
    if (std::ranges::none_of(triangle, [&](std::uint32_t corner) { return touched[corner] != 0; })) continue;
    Face face;
    for (std::size_t i = 0; i < 3; ++i) {
      int& mine = number[triangle[i]];
      if (mine < 0) {
        mine = static_cast<int>(corners_.size());
        corners_.push_back({points[triangle[i]], {}});
      }
      face.corner[i] = static_cast<std::uint32_t>(mine);
    }
    bounds(triangle, face.low, face.high);
    face.near = !apart(face.low, face.high, box);
    face.normal = (points[triangle[1]] - points[triangle[0]]).cross(points[triangle[2]] - points[triangle[0]]);
    if (!(face.normal.norm() > 0)) continue;
    face.normal.normalize();
    faces_.push_back(face);
  }
}

void NearSurface::join_neighbours() {
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::vector<std::pair<int, std::size_t>>> edges;
  for (std::size_t f = 0; f < faces_.size(); ++f)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t from = faces_[f].corner[i], to = faces_[f].corner[(i + 1) % 3];
      edges[std::minmax(from, to)].push_back({static_cast<int>(f), i});
    }
  for (const auto& [ends, sides] : edges) {
    corners_[ends.first].neighbours.push_back(ends.second);
    corners_[ends.second].neighbours.push_back(ends.first);
    if (sides.size() != 2) continue;
    for (std::size_t k = 0; k < 2; ++k) entry(faces_, sides[k].first).beside[sides[k].second] = sides[1 - k].first;
  }
}

void NearSurface::gather_flats() {
  Groups groups(faces_.size());
  const auto each_beside = [&](const auto& look) {
    for (std::size_t f = 0; f < faces_.size(); ++f)
      for (const int other : faces_[f].beside)
        if (other >= 0) look(f, static_cast<std::size_t>(other));
  };
  each_beside([&](std::size_t f, std::size_t other) {
    if (faces_[f].normal.dot(faces_[other].normal) >= flat_cos)
      groups.join(static_cast<std::uint32_t>(f), static_cast<std::uint32_t>(other));
  });
  for (std::size_t f = 0; f < faces_.size(); ++f) faces_[f].flat = groups.of(static_cast<std::uint32_t>(f));
  around_flat_.resize(faces_.size());
  each_beside([&](std::size_t f, std::size_t other) {
    if (faces_[f].flat != faces_[other].flat)
      around_flat_[faces_[f].flat].push_back({faces_[other].normal, faces_[other].flat});
  });
  measure_facets();
}

void NearSurface::measure_facets() {
  facet_mm_.assign(faces_.size(), 0);
  std::map<std::uint32_t, std::vector<const Face*>> flats;
  for (const Face& face : faces_) flats[face.flat].push_back(&face);
  const auto extent = [&](std::uint32_t flat, const Vector3d& way) {
    double least = std::numeric_limits<double>::infinity(), greatest = -least;
    for (const Face* face : flats[flat])
      for (const std::uint32_t corner : face->corner) {
        least = std::min(least, way.dot(corners_[corner].at));
        greatest = std::max(greatest, way.dot(corners_[corner].at));
      }
    return greatest - least;
  };
  for (const auto& [flat, members] : flats)
    for (const Beside& other : around_flat_[flat]) {
      const Vector3d normal = members.front()->normal;
      if (normal.dot(other.normal) <= facet_cos) continue;
      const Vector3d turned = (other.normal - normal.dot(other.normal) * normal).normalized();
      constexpr double alike = 1.5;
      facet_mm_[flat] = std::max(facet_mm_[flat], std::min(extent(flat, turned), alike * extent(other.flat, turned)));
    }
}

bool NearSurface::faces_best(const Face& face, const Vector3d& direction) const {
  constexpr double tie = 1e-9;
  const double mine = face.normal.dot(direction);
  return std::ranges::none_of(around_flat_[face.flat],
                              [&](const Beside& other) { return other.normal.dot(direction) > mine + tie; });
}

int NearSurface::opposite(const Face& face, std::size_t i) const {
  if (face.beside[i] < 0) return -1;
  const Face& other = entry(faces_, face.beside[i]);
  for (const std::uint32_t corner : other.corner)
    if (corner != face.corner[i] && corner != face.corner[(i + 1) % 3]) return static_cast<int>(corner);
  return -1;
}

}  // namespace cellproof
