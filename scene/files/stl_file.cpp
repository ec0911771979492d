// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/stl_file.hpp"

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <map>
#include <optional>

#include "kinematics/numbered.hpp"

namespace cellproof {

namespace {

/// Numbers positions that are equal in single precision alike.
std::vector<std::uint32_t> merged(std::vector<Vector3d>& vertices) {
  std::map<std::array<double, 3>, std::uint32_t> known;
  std::vector<Vector3d> kept;
  std::vector<std::uint32_t> number;
  for (const Vector3d& vertex : vertices) {
    const auto [entry, is_new] =
        known.emplace(std::array{vertex.x(), vertex.y(), vertex.z()}, static_cast<std::uint32_t>(kept.size()));
    if (is_new) kept.push_back(vertex);
    number.push_back(entry->second);
  }
  vertices = std::move(kept);
  return number;
}

/// The corner that lies between the other two of a triangle without area, as an importer sees it; none for one with
/// area.
std::optional<std::size_t> corner_between(const Mesh& mesh, const Triangle& t) {
  const Vector3d &a = mesh.vertices[t[0]], &b = mesh.vertices[t[1]], &c = mesh.vertices[t[2]];
  const std::array<double, 3> opposite{(c - b).squaredNorm(), (a - c).squaredNorm(), (b - a).squaredNorm()};
  const auto longest = std::max_element(opposite.begin(), opposite.end());
  if ((b - a).cross(c - a).norm() > 1e-14 * *longest) return std::nullopt;
  return place_in(opposite, longest);
}

using DirectedEdge = std::pair<std::uint32_t, std::uint32_t>;

std::map<DirectedEdge, std::size_t> triangles_by_edge(const Mesh& mesh) {
  std::map<DirectedEdge, std::size_t> left_of;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t i = 0; i < 3; ++i) left_of[{mesh.triangles[t][i], mesh.triangles[t][(i + 1) % 3]}] = t;
  return left_of;
}

/// Gives one triangle without area to its neighbour across its longest side, which is then two; or, where both are the
/// same three corners, drops both.
void stitch_one(Mesh& mesh, std::map<DirectedEdge, std::size_t>& left_of, std::size_t t) {
  const auto between = corner_between(mesh, mesh.triangles[t]);
  if (!between) return;
  const std::size_t i = *between;
  const std::uint32_t b = mesh.triangles[t][i], c = mesh.triangles[t][(i + 1) % 3], a = mesh.triangles[t][(i + 2) % 3];
  const auto across = left_of.find({a, c});
  if (across == left_of.end()) return;
  const std::size_t other = across->second;
  const Triangle neighbour = mesh.triangles[other];
  const std::uint32_t d = *std::find_if(neighbour.begin(), neighbour.end(),
                                        [&](std::uint32_t corner) { return corner != a && corner != c; });
  if (d != b && left_of.count({b, d}) + left_of.count({d, b}) > 0) return;
  left_of.erase({c, a});
  left_of.erase({a, c});
  if (d == b) {
    mesh.triangles[t] = mesh.triangles[other] = {0, 0, 0};
    return;
  }
  mesh.triangles[t] = {a, b, d};
  mesh.triangles[other] = {b, c, d};
  left_of[{b, d}] = left_of[{d, a}] = t;
  left_of[{d, b}] = left_of[{b, c}] = other;
}

void drop_collapsed(Mesh& mesh) {
  std::erase_if(mesh.triangles, [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; });
}

bool any_without_area(const Mesh& mesh) {
  return std::any_of(mesh.triangles.begin(), mesh.triangles.end(),
                     [&](const Triangle& t) { return corner_between(mesh, t) >= 0; });
}

void stitch(Mesh& mesh) {
  constexpr int most_rounds = 20;  // a stitched triangle may be without area again
  for (int round = 0; round < most_rounds && any_without_area(mesh); ++round) {
    auto left_of = triangles_by_edge(mesh);
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      const Triangle& here = mesh.triangles[t];
      if (here[0] != here[1]) stitch_one(mesh, left_of, t);
    }
    drop_collapsed(mesh);
  }
}

void append_float(std::string& bytes, double value) {
  const auto single = static_cast<float>(value);
  bytes.append(reinterpret_cast<const char*>(&single), sizeof single);
}

void append_vector(std::string& bytes, const Vector3d& vector) {
  for (int i = 0; i < 3; ++i) append_float(bytes, vector[i]);
}

}  // namespace

std::optional<Mesh> in_single_precision(const Mesh& mesh, double unit_mm) {
  Mesh rounded;
  rounded.deviation = mesh.deviation;
  for (const Vector3d& vertex : mesh.vertices)
    rounded.vertices.push_back((vertex / unit_mm).cast<float>().cast<double>() * unit_mm + Vector3d::Zero());
  const auto number = merged(rounded.vertices);
  for (const auto& [a, b, c] : mesh.triangles) rounded.triangles.push_back({number[a], number[b], number[c]});
  drop_collapsed(rounded);
  stitch(rounded);
  if (any_without_area(rounded) || (closedness(mesh).closed && !closedness(rounded).closed)) return std::nullopt;
  return rounded;
}

std::string stl_of(const Mesh& mesh, double unit_mm) {
  std::string bytes = "binary STL by cellproof";
  bytes.resize(80, ' ');
  const auto count = static_cast<std::uint32_t>(mesh.triangles.size());
  bytes.append(reinterpret_cast<const char*>(&count), sizeof count);
  for (const auto& [a, b, c] : mesh.triangles) {
    const Vector3d &p = mesh.vertices[a], &q = mesh.vertices[b], &r = mesh.vertices[c];
    append_vector(bytes, (q - p).cross(r - p).normalized());
    for (const Vector3d& corner : {p, q, r}) append_vector(bytes, corner / unit_mm);
    bytes.append(2, '\0');
  }
  return bytes;
}

}  // namespace cellproof
