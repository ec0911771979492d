// SPDX-License-Identifier: GPL-3.0-or-later
// Where the pads of a jaw meet the part, found from the meshes.
#pragma once

#include "scene/forces/facing_faces.hpp"

namespace cellproof {

/// What the pads of a jaw do on one side, that is, those that press one way.
struct PadSide {
  Vector3d presses = Vector3d::Zero();  ///< the way into the part, in the jaw's frame
  FacesMet met;
  std::optional<FacesGap> gap;  ///< where they do not meet: how far off; none if nothing stands opposite the part
};

struct PadContact {
  std::vector<PadSide> sides;   ///< two; or three, whose pads stand evenly around z
  std::optional<double> width;  ///< of two pads that miss: how wide the part is between them (mm)
  bool inside = false;          ///< the pads face away from each other: they hold in a bore
  bool on_all_sides() const;
  double least_area_mm2() const;  ///< of the sides
};

/// Meshes in the jaw's frame: two pads close along x, three toward or away from z. A pad is every face of `pads` that
/// stands across the closing direction, within 60 degrees, so that the faces of a V count; it meets a face of `part`
/// that looks against it, where both lie within `depth_mm` of one another along that direction: air or cut. On a round
/// part that is the strip where the gap is no more than the depth. The area is seen along the direction and is a lower
/// bound: each place counts once, and how far the true surfaces may lie off the meshes is taken from the depth. The
/// angle at which three pads stand about z is that of the third harmonic of the faces' areas around z.
PadContact pad_contact(int pads, std::span<const PlacedMesh> pad_meshes, std::span<const PlacedMesh> part,
                       double depth_mm);

}  // namespace cellproof
