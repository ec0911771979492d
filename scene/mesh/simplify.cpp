// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/simplify.hpp"

#include <algorithm>
#include <limits>

#include "kinematics/numbered.hpp"
#include "scene/mesh/vertex_removal.hpp"

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr std::size_t most_neighbours = 32;  // of a vertex to be taken away
constexpr std::size_t widest_fan = 64;       // triangles at a vertex that takes others' over

class Thinner {
 public:
  Thinner(const Mesh& mesh, double most)
      : mesh_(mesh),
        most_(most),
        error_(mesh.triangles.size(), 0),
        alive_(mesh.triangles.size(), 1),
        about_(mesh.vertices.size()),
        stirred_(mesh.vertices.size(), 1) {
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t)
      for (const std::uint32_t vertex : mesh_.triangles[t]) about_[vertex].push_back(t);
  }

  /// What costs little goes first: at each level every vertex is tried, and again where its neighbours changed.
  Mesh thin() {
    for (const double level : {most_ / 16, most_ / 8, most_ / 4, most_ / 2, most_}) {
      std::fill(stirred_.begin(), stirred_.end(), 1);
      for (std::size_t taken = 1; taken > 0;) {
        taken = 0;
        for (std::uint32_t vertex = 0; vertex < about_.size(); ++vertex) {
          if (!stirred_[vertex]) continue;
          stirred_[vertex] = 0;
          if (take_away(vertex, level)) ++taken;
        }
      }
    }
    return result();
  }

 private:
  /// The neighbours of a vertex in order, counter-clockwise; empty where its triangles are no full round.
  std::vector<std::uint32_t> ring_about(std::uint32_t vertex) const {
    const auto& fan = about_[vertex];
    if (fan.size() < 3 || fan.size() > most_neighbours) return {};
    std::vector<Edge> rims;
    for (const std::uint32_t t : fan) {
      const Triangle& triangle = mesh_.triangles[t];
      const auto at = place_in(triangle, std::find(triangle.begin(), triangle.end(), vertex));
      rims.push_back({triangle[(at + 1) % 3], triangle[(at + 2) % 3]});
    }
    std::vector<std::uint32_t> ring = {rims.front().from};
    for (std::uint32_t next = rims.front().to; next != ring.front();) {
      ring.push_back(next);
      const auto rim = std::find_if(rims.begin(), rims.end(), [&](const Edge& edge) { return edge.from == next; });
      if (rim == rims.end() || ring.size() > rims.size()) return {};
      next = rim->to;
    }
    const bool whole = ring.size() == rims.size();
    return whole ? ring : std::vector<std::uint32_t>{};
  }

  bool take_away(std::uint32_t vertex, double level) {
    std::vector<std::uint32_t> ring = ring_about(vertex);
    if (ring.empty()) return false;
    double strayed = 0;
    for (const std::uint32_t t : about_[vertex]) strayed = std::max(strayed, error_[t]);
    if (strayed > level) return false;
    double least = infinity;
    std::size_t best = 0;
    std::vector<Vector3d> places(ring.size());
    for (std::size_t first = 0; first < ring.size(); ++first) {
      for (std::size_t i = 0; i < ring.size(); ++i) places[i] = mesh_.vertices[ring[(first + i) % ring.size()]];
      const double error = removal_error(mesh_.vertices[vertex], places);
      if (error < least && strayed + error <= level && stays_a_surface(vertex, ring, first)) {
        least = error;
        best = first;
      }
    }
    if (least == infinity) return false;
    std::rotate(ring.begin(), ring.begin() + static_cast<std::ptrdiff_t>(best), ring.end());
    spread(vertex, ring, strayed + least);
    return true;
  }

  /// The neighbour that takes over may share no other vertex with the ring than those beside it: else two triangles
  /// would fall together.
  bool stays_a_surface(std::uint32_t vertex, const std::vector<std::uint32_t>& ring, std::size_t first) const {
    const std::uint32_t heir = ring[first];
    const std::uint32_t after = ring[(first + 1) % ring.size()], before = ring[(first + ring.size() - 1) % ring.size()];
    if (about_[heir].size() + ring.size() > widest_fan + 4) return false;
    for (const std::uint32_t t : about_[heir]) {
      const Triangle& triangle = mesh_.triangles[t];
      const auto has = [&](std::uint32_t other) {
        return std::find(triangle.begin(), triangle.end(), other) != triangle.end();
      };
      if (has(vertex)) continue;
      if (has(after) && has(before)) return false;
      for (const std::uint32_t other : ring)
        if (other != heir && other != after && other != before && has(other)) return false;
    }
    return true;
  }

  void spread(std::uint32_t vertex, const std::vector<std::uint32_t>& ring, double error) {
    const std::uint32_t heir = ring.front();
    const std::vector<std::uint32_t> fan = std::move(about_[vertex]);
    about_[vertex].clear();
    for (const std::uint32_t t : fan)
      for (const std::uint32_t corner : mesh_.triangles[t])
        if (corner != vertex) forget(corner, t);
    for (std::size_t i = 0; i < fan.size(); ++i) {
      const std::uint32_t t = fan[i];
      alive_[t] = i + 2 < ring.size();
      if (!alive_[t]) continue;
      mesh_.triangles[t] = {heir, ring[i + 1], ring[i + 2]};
      error_[t] = error;
      for (const std::uint32_t corner : mesh_.triangles[t]) about_[corner].push_back(t);
    }
    for (const std::uint32_t neighbour : ring) stirred_[neighbour] = 1;
  }

  void forget(std::uint32_t vertex, std::uint32_t triangle) {
    auto& fan = about_[vertex];
    const auto at = std::find(fan.begin(), fan.end(), triangle);
    if (at == fan.end()) return;
    *at = fan.back();
    fan.pop_back();
  }

  Mesh result() const {
    Mesh thinned;
    constexpr std::uint32_t unnumbered = 0xffffffff;
    std::vector<std::uint32_t> number(mesh_.vertices.size(), unnumbered);
    double strayed = 0;
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      if (!alive_[t]) continue;
      Triangle triangle = mesh_.triangles[t];
      for (std::uint32_t& corner : triangle) {
        if (number[corner] == unnumbered) {
          number[corner] = static_cast<std::uint32_t>(thinned.vertices.size());
          thinned.vertices.push_back(mesh_.vertices[corner]);
        }
        corner = number[corner];
      }
      thinned.triangles.push_back(triangle);
      strayed = std::max(strayed, error_[t]);
    }
    thinned.deviation = {mesh_.deviation.outside + strayed, mesh_.deviation.inside + strayed};
    thinned.exact = mesh_.exact;  // of the surfaces themselves, whatever the triangles
    return thinned;
  }

  struct Edge {
    std::uint32_t from, to;
  };

  Mesh mesh_;
  double most_;
  std::vector<double> error_;                      ///< of each triangle: how far what it stands for may be
  std::vector<char> alive_;                        ///< of each triangle
  std::vector<std::vector<std::uint32_t>> about_;  ///< of each vertex: its triangles
  std::vector<char> stirred_;                      ///< of each vertex: to be tried
};

}  // namespace

Mesh simplify(const Mesh& mesh, double most_mm) {
  return Thinner(mesh, most_mm).thin();
}

}  // namespace cellproof
