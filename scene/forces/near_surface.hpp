// SPDX-License-Identifier: GPL-3.0-or-later
// The part of a mesh that is near another, with what its triangles, edges and corners have beside them.
#pragma once

#include <vector>

#include "scene/forces/facing_faces.hpp"

namespace cellproof {

/// Placed triangles within a box, and those around them.
class NearSurface {
 public:
  NearSurface(const PlacedMesh& placed, const Box& box);

  struct Corner {
    Vector3d at = Vector3d::Zero();
    std::vector<std::uint32_t> neighbours;  ///< corners at the other ends of its edges
  };
  struct Face {
    std::array<std::uint32_t, 3> corner{};
    Vector3d normal = Vector3d::Zero(), low, high;
    std::array<int, 3> beside{-1, -1, -1};  ///< the face over the edge from corner i to i + 1; -1: none, or several
    std::uint32_t flat = 0;                 ///< faces that lie flat beside one another have the same
    bool near = false;                      ///< within the box
  };

  const std::vector<Corner>& corners() const { return corners_; }
  const std::vector<Face>& faces() const { return faces_; }
  bool closed() const { return closed_; }
  /// True if a face's normal makes no larger angle with a direction than the faces beside its flat do.
  bool faces_best(const Face& face, const Vector3d& direction) const;
  /// True if the flat has another beside it that is turned by less than 30 degrees: a facet of something round.
  bool is_facet(const Face& face) const { return facet_mm_[face.flat] > 0; }
  /// How wide such a facet is, the way that it is turned from the next, but no more than half as much again as that: a
  /// wide face with a rounded rim is none (mm); else 0.
  double facet_mm(const Face& face) const { return facet_mm_[face.flat]; }
  /// The corner of the face over edge i that is not on the edge; -1 if there is none.
  int opposite(const Face& face, std::size_t i) const;

 private:
  void add_faces(const PlacedMesh& placed, const Box& box);
  void join_neighbours();
  void gather_flats();
  void measure_facets();

  std::vector<Corner> corners_;
  std::vector<Face> faces_;
  /// A flat beside another.
  struct Beside {
    Vector3d normal = Vector3d::Zero();
    std::uint32_t flat = 0;
  };
  std::vector<std::vector<Beside>> around_flat_;  ///< by flat
  std::vector<double> facet_mm_;                  ///< by flat
  bool closed_ = true;
};

}  // namespace cellproof
