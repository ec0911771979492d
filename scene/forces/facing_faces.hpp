// SPDX-License-Identifier: GPL-3.0-or-later
// Faces that stand opposite one another along a direction: where they meet, on how much area, or how much air is
// between.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "scene/mesh/mesh.hpp"
#include "scene/scene.hpp"

namespace cellproof {

/// A body's mesh somewhere.
struct PlacedMesh {
  const Mesh* mesh = nullptr;
  Pose pose = Pose::Identity();
  bool closed = true;  ///< an open mesh has faces on both sides
  BodyId body;
};

/// Two axes across a direction and the direction itself: (x, y, height) of a point.
Eigen::Matrix3d axes_along(const Vector3d& direction);

/// A triangle seen along a direction: its corners counterclockwise in the plane across it, its height along it.
struct FacingFace {
  std::array<Vector2d, 3> corner;
  Vector2d slope = Vector2d::Zero();
  double height_at_origin = 0;
  Vector2d low, high;  ///< of the corners
  double least_height = 0, greatest_height = 0;
  double stray_mm = 0;  ///< how far the true surface may lie off
  BodyId body;
  double height(const Vector2d& point) const { return height_at_origin + slope.dot(point); }
};

/// Which way faces look: along the direction, or against it.
enum class Facing { along, against };

/// The triangles whose normal makes an angle with the direction (or its opposite) of cosine `least_cos` at least, in
/// the axes of `axes_along`. `wanted` is asked for a triangle's middle, in the common frame; empty: all.
std::vector<FacingFace> facing_faces(std::span<const PlacedMesh> meshes, const Eigen::Matrix3d& axes, Facing facing,
                                     double least_cos, const std::function<bool(const Vector3d&)>& wanted = {});

struct FacesMet {
  double area_mm2 = 0;         ///< across the direction, where both lie within the depth: air or cut, each place once
  double face_mm2 = 0;         ///< of all faces of `front` at the heights where they meet
  std::vector<BodyId> bodies;  ///< whose faces of `front` meet, in order, each once
  Vector2d low, high;          ///< around what meets, across the direction
};

/// A lower bound of what meets: how far the true surfaces may lie off is taken from the depth.
FacesMet faces_met(std::span<const FacingFace> front, std::span<const FacingFace> back, double depth_mm);

struct FacesGap {
  double gap_mm = 0;  ///< from front to back along the direction: air, or below 0 a cut; the one nearest 0
  double height = 0;  ///< of the front there
  BodyId body;        ///< whose front it is
  BodyId opposite;    ///< whose back
};
/// Nothing where no face stands opposite another. What cuts deeper than `deepest_mm` stands behind.
std::optional<FacesGap> faces_gap(std::span<const FacingFace> front, std::span<const FacingFace> back,
                                  double deepest_mm);

/// The same with air alone: how far the front can go along the direction until something is met.
std::optional<FacesGap> faces_air(std::span<const FacingFace> front, std::span<const FacingFace> back);

}  // namespace cellproof
