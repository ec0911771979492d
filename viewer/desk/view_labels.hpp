// SPDX-License-Identifier: GPL-3.0-or-later
// Words that stand in the view beside what they name, and do not cover each other.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "viewer/desk/orbit.hpp"
#include "viewer/pictures/canvas.hpp"

namespace cellproof {

/// Words at a place of the world.
struct PlacedWords {
  Vector3d at = Vector3d::Zero();
  std::string words;
  Colour colour;
};

/// The pixel at which a point is seen; none behind the eye.
std::optional<Vector2d> pixel_of(const Orbit& orbit, const Vector3d& point, const ViewSize& size);

/// A label's picture, as large as its words ask.
Image label_picture(const std::string& words, const Colour& colour);

/// Where labels of these sizes stand in the view, each beside its anchor: those left of the anchors' middle on the
/// left, the others on the right, moved down where they would cover each other, and held within the view.
std::vector<Area> label_places(const std::vector<Vector2d>& anchors, const std::vector<Area>& sizes,
                               const ViewSize& size);

/// Where a label of this size stands beside the pointer and not under it, held within the view.
Area label_by_pointer(const Vector2d& pointer, const Area& label, const ViewSize& size);

}  // namespace cellproof
