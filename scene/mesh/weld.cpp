// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/weld.hpp"

#include <algorithm>
#include <bit>

namespace cellproof {

namespace {

std::uint64_t hash_of(const Vector3d& p) {
  std::uint64_t hash = 0;
  for (int i = 0; i < 3; ++i) {
    hash = (hash ^ std::bit_cast<std::uint64_t>(p[i])) * 0x9e3779b97f4a7c15ULL;
    hash ^= hash >> 32;
  }
  return hash;
}

/// Numbers positions from 0, equal ones alike: a table with open addressing, at most half full.
class Welder {
 public:
  explicit Welder(std::size_t corners) : slots_(std::bit_ceil(std::max<std::size_t>(16, corners / 2)), empty) {}

  std::uint32_t number(const Vector3d& position) {
    const Vector3d key = position + Vector3d::Zero();  // -0 becomes 0
    if (2 * (vertices.size() + 1) > slots_.size()) grow();
    std::uint32_t& slot = find(key);
    if (slot == empty) {
      slot = static_cast<std::uint32_t>(vertices.size());
      vertices.push_back(key);
    }
    return slot;
  }

  std::vector<Vector3d> vertices;

 private:
  static constexpr std::uint32_t empty = 0xffffffff;

  std::uint32_t& find(const Vector3d& key) {
    std::size_t at = hash_of(key) & (slots_.size() - 1);
    while (slots_[at] != empty && vertices[slots_[at]] != key) at = (at + 1) & (slots_.size() - 1);
    return slots_[at];
  }

  void grow() {
    slots_.assign(2 * slots_.size(), empty);
    for (std::uint32_t i = 0; i < vertices.size(); ++i) find(vertices[i]) = i;
  }

  std::vector<std::uint32_t> slots_;
};

/// Without area, as far as doubles can tell.
bool degenerate(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  const Vector3d ab = b - a, ac = c - a;
  const double longest = std::max({ab.squaredNorm(), ac.squaredNorm(), (c - b).squaredNorm()});
  return ab.cross(ac).norm() <= 1e-14 * longest;
}

}  // namespace

ImportedMesh weld(const std::vector<Vector3d>& corners) {
  ImportedMesh result;
  Mesh& mesh = result.mesh;
  mesh.triangles.reserve(corners.size() / 3);
  Welder welder(corners.size());
  for (std::size_t i = 0; i + 2 < corners.size(); i += 3) {
    if (degenerate(corners[i], corners[i + 1], corners[i + 2])) {
      ++result.degenerate_dropped;
      continue;
    }
    const std::uint32_t a = welder.number(corners[i]), b = welder.number(corners[i + 1]),
                        c = welder.number(corners[i + 2]);
    mesh.triangles.push_back({a, b, c});
  }
  mesh.vertices = std::move(welder.vertices);
  return result;
}

}  // namespace cellproof
