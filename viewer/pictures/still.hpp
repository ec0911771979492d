// SPDX-License-Identifier: GPL-3.0-or-later
// A still of the cell at an instant: ray-cast, to scale (parallel projection), named and captioned. Needs no display.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "scene/scene.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

/// Where the eye stands. The world's z is up; `front` looks along its +y, `left` along its +x; `quarter` stands in
/// front, to the right and above.
enum class Side { quarter, front, back, left, right, top };
std::string_view side_name(Side side);
std::optional<Side> side_named(std::string_view name);

/// Two points of the world (mm) joined by a line, with words such as the distance.
struct MarkedPair {
  std::array<Vector3d, 2> points;
  std::string words;
};

/// A point of the world, and how many mm about it fill the lesser of the drawing's width and height.
struct Near {
  Vector3d point = Vector3d::Zero();
  double size_mm = 0;
};

struct StillRequest {
  Arrangement arrangement;
  Joints joints = Joints::Zero();
  Side side = Side::quarter;
  std::optional<Vector3d> direction;  ///< in world, the way the eye looks, not zero; it overrules `side`
  int width = 1280, height = 800;
  double letters = 14;        ///< their size in pixels at that width and height
  std::string title, detail;  ///< the caption's two lines
  std::vector<MarkedPair> pairs;
  std::vector<std::string> highlighted;  ///< bodies drawn in the marking colour and named
  std::vector<std::string> named;        ///< bodies named besides end effector, parts and large surroundings
  std::vector<std::string> hidden;       ///< bodies left out
  std::vector<std::string> solid;        ///< bodies that are never a veil
  std::optional<Box> shown;              ///< what of the world is to fill the picture; default every body
  std::optional<Near> near;              ///< it overrules `shown`
};

/// Surroundings that stand between the eye and the arm, the end effector or the parts are drawn as a veil.
Image render_still(const Scene& scene, const StillRequest& request);

}  // namespace cellproof
