// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/primitives.hpp"

#include <algorithm>
#include <cmath>

#include "scene/mesh/weld.hpp"

namespace cellproof {

namespace {

constexpr double wanted_deviation = 0.02;  // mm
constexpr int most_segments = 400;         // round a cylinder
constexpr int most_subdivisions = 80;      // of an icosahedron's edge: some 400 round a sphere

void add_quad(Mesh& mesh, std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d) {
  mesh.triangles.push_back({a, b, c});
  mesh.triangles.push_back({a, c, d});
}

/// Sagitta r (1 - cos(π/n)) within what is wanted, a multiple of four.
int segments_of_circle(double radius) {
  const double cosine = std::max(1 - wanted_deviation / radius, 0.0);
  const int needed = static_cast<int>(std::ceil(std::min(pi / std::acos(cosine), 1e6)));
  return std::clamp((needed + 3) / 4 * 4, 16, most_segments);
}

/// A point of the face abc of an icosahedron on the unit sphere, by its whole-numbered shares of the corners. Equal
/// points of neighbouring faces come out equal to the last bit: at most two shares on an edge are not zero.
Vector3d on_unit_sphere(const std::array<Vector3d, 3>& face, int i, int j, int k) {
  return (i * face[0] + j * face[1] + k * face[2]).normalized();
}

std::array<Vector3d, 12> icosahedron_corners() {
  const double g = (1 + std::sqrt(5.0)) / 2;
  return {Vector3d(-1, g, 0),  {1, g, 0},  {-1, -g, 0}, {1, -g, 0}, {0, -1, g},  {0, 1, g},
          Vector3d(0, -1, -g), {0, 1, -g}, {g, 0, -1},  {g, 0, 1},  {-g, 0, -1}, {-g, 0, 1}};
}

constexpr std::array<Triangle, 20> icosahedron_faces = {{{0, 11, 5}, {0, 5, 1},  {0, 1, 7},   {0, 7, 10}, {0, 10, 11},
                                                         {1, 5, 9},  {5, 11, 4}, {11, 10, 2}, {10, 7, 6}, {7, 1, 8},
                                                         {3, 9, 4},  {3, 4, 2},  {3, 2, 6},   {3, 6, 8},  {3, 8, 9},
                                                         {4, 9, 5},  {2, 4, 11}, {6, 2, 10},  {8, 6, 7},  {9, 8, 1}}};

/// Corners of the small triangles of one face, `n` to an edge.
void subdivide(const std::array<Vector3d, 3>& face, int n, double radius, std::vector<Vector3d>& corners) {
  const auto add = [&](int j, int k) { corners.push_back(radius * on_unit_sphere(face, n - j - k, j, k)); };
  for (int j = 0; j < n; ++j)
    for (int k = 0; j + k < n; ++k) {
      add(j, k), add(j + 1, k), add(j, k + 1);
      if (j + k + 2 <= n) add(j + 1, k), add(j + 1, k + 1), add(j, k + 1);
    }
}

/// Along any direction from the centre the mesh is no nearer than the plane of the triangle it meets.
double least_plane_distance(const Mesh& mesh) {
  double least = std::numeric_limits<double>::infinity();
  for (const auto& [a, b, c] : mesh.triangles) {
    const Vector3d& p = mesh.vertices[a];
    least = std::min(least, p.dot((mesh.vertices[b] - p).cross(mesh.vertices[c] - p).normalized()));
  }
  return least;
}

}  // namespace

Mesh box_mesh(const Vector3d& size) {
  Mesh mesh;
  const auto corners = Box{-size / 2, size / 2}.corners();
  mesh.vertices.assign(corners.begin(), corners.end());
  add_quad(mesh, 0, 2, 3, 1);
  add_quad(mesh, 4, 5, 7, 6);
  add_quad(mesh, 0, 1, 5, 4);
  add_quad(mesh, 2, 6, 7, 3);
  add_quad(mesh, 0, 4, 6, 2);
  add_quad(mesh, 1, 3, 7, 5);
  return mesh;
}

Mesh cylinder_mesh(double radius, double height) {
  const int n = segments_of_circle(radius);
  Mesh mesh;
  mesh.vertices = {Vector3d(0, 0, -height / 2), Vector3d(0, 0, height / 2)};
  for (int i = 0; i < n; ++i) {
    const double x = radius * std::cos(2 * pi * i / n), y = radius * std::sin(2 * pi * i / n);
    mesh.vertices.emplace_back(x, y, -height / 2);
    mesh.vertices.emplace_back(x, y, height / 2);
  }
  for (int i = 0; i < n; ++i) {
    const auto low = static_cast<std::uint32_t>(2 + 2 * i),
               next_low = static_cast<std::uint32_t>(2 + 2 * ((i + 1) % n));
    mesh.triangles.push_back({0, next_low, low});
    mesh.triangles.push_back({1, low + 1, next_low + 1});
    add_quad(mesh, low, next_low, next_low + 1, low + 1);
  }
  mesh.deviation.outside = radius * (1 - std::cos(pi / n));
  return mesh;
}

Mesh sphere_mesh(double radius) {
  // The largest of the small triangles, at a face's middle, has a circumradius of 0.764 r / n: a sagitta of 0.292 r /
  // n².
  const double needed = std::ceil(std::sqrt(0.292 * radius / wanted_deviation));
  const int n = static_cast<int>(std::clamp(needed, 4.0, static_cast<double>(most_subdivisions)));
  const auto corners = icosahedron_corners();
  std::vector<Vector3d> pieces;
  for (const auto& [a, b, c] : icosahedron_faces) subdivide({corners[a], corners[b], corners[c]}, n, radius, pieces);
  Mesh mesh = weld(pieces).mesh;
  mesh.deviation.outside = radius - least_plane_distance(mesh);
  return mesh;
}

}  // namespace cellproof
