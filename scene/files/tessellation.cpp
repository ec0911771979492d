// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/tessellation.hpp"

#include <algorithm>
#include <cstring>

#include <fmt/format.h>

#include "scene/basics/content_key.hpp"

namespace cellproof {

namespace {

static_assert(sizeof(Vector3d) == 3 * sizeof(double) && sizeof(Triangle) == 12, "written as they lie in memory");

/// Everything of fixed size.
struct Head {
  double outside, inside;
  double area, volume, centroid[3], inertia[9];
  std::uint64_t is_exact, vertices, triangles;
};
static_assert(sizeof(Head) == 19 * 8, "no padding, so that equal meshes are equal bytes");

Head head_of(const Mesh& mesh) {
  Head head{};
  head.outside = mesh.deviation.outside;
  head.inside = mesh.deviation.inside;
  head.vertices = mesh.vertices.size();
  head.triangles = mesh.triangles.size();
  head.is_exact = mesh.exact ? 1 : 0;
  if (!mesh.exact) return head;
  head.area = mesh.exact->area;
  head.volume = mesh.exact->solid.volume;
  Eigen::Map<Vector3d>(head.centroid) = mesh.exact->solid.centroid;
  Eigen::Map<Eigen::Matrix3d>(head.inertia) = mesh.exact->solid.inertia;
  return head;
}

std::optional<ExactFigures> exact_of(const Head& head) {
  if (head.is_exact == 0) return std::nullopt;
  return ExactFigures{
      head.area,
      {head.volume, Eigen::Map<const Vector3d>(head.centroid), Eigen::Map<const Eigen::Matrix3d>(head.inertia)}};
}

void append(std::string& bytes, const void* data, std::size_t size) {
  bytes.append(static_cast<const char*>(data), size);
}

/// Takes `size` bytes off the front; false if there are fewer.
bool take(std::string_view& bytes, void* data, std::size_t size) {
  if (bytes.size() < size) return false;
  if (size > 0) std::memcpy(data, bytes.data(), size);
  bytes.remove_prefix(size);
  return true;
}

constexpr std::size_t hash_length = 32;

std::string first_line() {
  return fmt::format("{}\n", tessellation_maker());
}

bool take_lists(std::string_view& bytes, const Head& head, Mesh& mesh) {
  if (head.vertices > bytes.size() || head.triangles > bytes.size()) return false;
  mesh.vertices.resize(head.vertices);
  mesh.triangles.resize(head.triangles);
  return take(bytes, mesh.vertices.data(), head.vertices * sizeof(Vector3d)) &&
         take(bytes, mesh.triangles.data(), head.triangles * sizeof(Triangle)) && bytes.empty();
}

bool refers_to_its_vertices(const Mesh& mesh) {
  const auto inside = [&](std::uint32_t i) { return i < mesh.vertices.size(); };
  return std::all_of(mesh.triangles.begin(), mesh.triangles.end(),
                     [&](const Triangle& t) { return inside(t[0]) && inside(t[1]) && inside(t[2]); });
}

}  // namespace

std::string_view tessellation_maker() {
  return CELLPROOF_TESSELLATION_MAKER;
}

std::string tessellation_bytes(const Mesh& mesh) {
  std::string bytes = first_line();
  const Head head = head_of(mesh);
  append(bytes, &head, sizeof head);
  append(bytes, mesh.vertices.data(), mesh.vertices.size() * sizeof(Vector3d));
  append(bytes, mesh.triangles.data(), mesh.triangles.size() * sizeof(Triangle));
  return bytes + content_hash(bytes);
}

std::optional<Mesh> tessellation_of(std::string_view bytes) {
  if (bytes.size() < hash_length) return std::nullopt;
  const std::string_view content = bytes.substr(0, bytes.size() - hash_length);
  if (bytes.substr(content.size()) != content_hash(content)) return std::nullopt;
  const std::string line = first_line();
  if (content.substr(0, line.size()) != line) return std::nullopt;
  std::string_view rest = content.substr(line.size());
  Head head{};
  Mesh mesh;
  if (!take(rest, &head, sizeof head) || !take_lists(rest, head, mesh)) return std::nullopt;
  if (mesh.triangles.empty() || !refers_to_its_vertices(mesh)) return std::nullopt;
  mesh.deviation = {head.outside, head.inside};
  mesh.exact = exact_of(head);
  return mesh;
}

}  // namespace cellproof
