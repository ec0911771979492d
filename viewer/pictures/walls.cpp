// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/walls.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

namespace cellproof {

namespace {

constexpr double large_share = 0.01;  // of the body's area
constexpr double alike = 4;           // of two areas, at most
constexpr double same_plane_mm = 0.2;
constexpr double same_plane_sine = 1e-3;
constexpr double crease_cosine = 0.866;  // 30°
constexpr double cells_a_unit = 8;       // of normals

struct Face {
  Vector3d normal = Vector3d::Zero();  ///< unit, zero without an area
  double offset = 0, area = 0;
  Vector3d middle = Vector3d::Zero();
};

std::vector<Face> faces_of(const Mesh& mesh) {
  std::vector<Face> faces;
  for (const Triangle& triangle : mesh.triangles) {
    const Vector3d &a = mesh.vertices[triangle[0]], &b = mesh.vertices[triangle[1]], &c = mesh.vertices[triangle[2]];
    const Vector3d across = (b - a).cross(c - a);
    Face face;
    face.area = across.norm() / 2;
    face.middle = (a + b + c) / 3;
    if (face.area > 0) face.normal = across.normalized();
    face.offset = face.normal.dot(face.middle);
    faces.push_back(face);
  }
  return faces;
}

/// Sets of numbers that are joined pair by pair.
class Joined {
 public:
  explicit Joined(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), std::size_t{0}); }
  std::size_t root(std::size_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::size_t a, std::size_t b) { parent_[root(a)] = root(b); }

 private:
  std::vector<std::size_t> parent_;
};

bool same_plane(const Face& a, const Face& b) {
  return a.normal.cross(b.normal).norm() < same_plane_sine && a.normal.dot(b.normal) > 0 &&
         std::abs(a.offset - b.offset) < same_plane_mm;
}

/// Pairs of triangles along an edge.
std::vector<std::array<std::size_t, 2>> neighbours(const Mesh& mesh) {
  std::map<std::array<std::uint32_t, 2>, std::size_t> first;
  std::vector<std::array<std::size_t, 2>> pairs;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t i = 0; i < 3; ++i) {
      const auto a = mesh.triangles[t][i], b = mesh.triangles[t][(i + 1) % 3];
      const auto [found, is_new] = first.emplace(std::array{std::min(a, b), std::max(a, b)}, t);
      if (!is_new) pairs.push_back({found->second, t});
    }
  return pairs;
}

/// Faces in one plane: along their edges first, then what of it lies apart, found along the order of the offsets.
void join_planes(const std::vector<std::array<std::size_t, 2>>& beside, const std::vector<Face>& faces,
                 Joined& joined) {
  for (const auto& [a, b] : beside)
    if (same_plane(faces[a], faces[b])) joined.join(a, b);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < faces.size(); ++i)
    if (joined.root(i) == i) order.push_back(i);
  std::ranges::sort(order, {}, [&](std::size_t i) { return faces[i].offset; });
  for (std::size_t i = 0; i < order.size(); ++i)
    for (std::size_t j = i + 1; j < order.size(); ++j) {
      const Face &a = faces[order[i]], &b = faces[order[j]];
      if (b.offset - a.offset >= same_plane_mm) break;
      if (same_plane(a, b)) joined.join(order[i], order[j]);
    }
}

/// Round faces are made of flat ones that are small or much alike; a large one stays by itself, however softly its rim
/// is rounded.
void join_round_faces(const std::vector<std::array<std::size_t, 2>>& beside, const std::vector<Face>& faces,
                      Joined& joined) {
  std::map<std::size_t, double> area;
  double whole = 0;
  for (std::size_t i = 0; i < faces.size(); ++i) {
    area[joined.root(i)] += faces[i].area;
    whole += faces[i].area;
  }
  std::vector<double> of_face(faces.size());
  for (std::size_t i = 0; i < faces.size(); ++i) of_face[i] = area[joined.root(i)];
  for (const auto& [a, b] : beside) {
    const double lesser = std::min(of_face[a], of_face[b]), larger = std::max(of_face[a], of_face[b]);
    if (larger > large_share * whole && larger > alike * lesser) continue;
    if (faces[a].normal.dot(faces[b].normal) > crease_cosine) joined.join(a, b);
  }
}

}  // namespace

Walls::Walls(const Mesh& mesh) {
  const std::vector<Face> faces = faces_of(mesh);
  const auto beside = neighbours(mesh);
  Joined joined(faces.size());
  join_planes(beside, faces, joined);
  join_round_faces(beside, faces, joined);
  std::map<std::size_t, WallId> number;
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const Face& face = faces[i];
    if (face.area == 0) continue;
    const auto [found, is_new] = number.emplace(joined.root(i), WallId(walls_.size()));
    if (is_new) walls_.emplace_back();
    Wall& wall = walls_[found->second];
    wall.area += face.area;
    wall.middle += face.area * face.middle;
    wall.normal += face.area * face.normal;
    file({face.normal, face.offset, found->second});
  }
  for (Wall& wall : walls_) {
    wall.middle /= wall.area;
    wall.normal = wall.normal.norm() > 1e-6 * wall.area ? wall.normal.normalized().eval() : Vector3d::Zero();
  }
}

/// Into the cell of its normal and those that a normal a little off could fall into.
void Walls::file(const Plane& plane) {
  constexpr double off = 0.01;
  for (const double sign : {1.0, -1.0}) {
    std::set<Cell> cells;
    for (int corner = 0; corner < 8; ++corner) {
      Cell cell;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const double about = sign * plane.normal[static_cast<int>(axis)] + (corner >> axis & 1 ? off : -off);
        cell[axis] = static_cast<int>(std::lround(cells_a_unit * about));
      }
      cells.insert(cell);
    }
    for (const Cell& cell : cells) {
      std::vector<Plane>& here = planes_[cell];
      const bool known = std::ranges::any_of(here, [&](const Plane& other) {
        return other.wall == plane.wall && std::abs(other.offset - sign * plane.offset) < same_plane_mm / 2 &&
               (other.normal - sign * plane.normal).norm() < same_plane_sine;
      });
      if (!known) here.push_back({sign * plane.normal, sign * plane.offset, plane.wall});
    }
  }
}

WallId Walls::at(const Vector3d& point, const Vector3d& normal) const {
  Cell cell;
  for (std::size_t axis = 0; axis < 3; ++axis)
    cell[axis] = static_cast<int>(std::lround(cells_a_unit * normal[static_cast<int>(axis)]));
  const auto found = planes_.find(cell);
  if (found == planes_.end()) return {};
  constexpr double about_the_same = 0.02, mm_a_unit_of_sine = 100;
  WallId best;
  double least = 2;  // mm off the plane, and what the normal is off
  for (const Plane& plane : found->second) {
    const double turned = (plane.normal - normal).norm();
    const double off = std::abs(plane.normal.dot(point) - plane.offset) + mm_a_unit_of_sine * turned;
    if (turned > about_the_same || off >= least) continue;
    least = off;
    best = plane.wall;
  }
  return best;
}

}  // namespace cellproof
