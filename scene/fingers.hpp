// SPDX-License-Identifier: GPL-3.0-or-later
// Where the fingers of a jaw stand while it is open, and where they come to rest.
#pragma once

#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// Poses of a finger's frame in its parent.
struct FingerPlaces {
  FrameId frame;
  Pose open = Pose::Identity(), closed = Pose::Identity();
};

/// The fingers of a jaw, closed where the file draws them. A jaw on the arm is asked about at joint values 0:
/// what rides on the flange is the same at all.
Table<FingerId, FingerPlaces> finger_places(const Scene& scene, const Arrangement& arrangement, JawId jaw);

/// The same, closed about a part that stands in the world as `part_in_world`: a finger with a stroke stops where it
/// first meets the part, each by itself, a thousandth of a millimetre before it at the most; if it meets nothing, at
/// the end of its stroke.
Table<FingerId, FingerPlaces> fingers_closed_on(const Scene& scene, const Arrangement& arrangement, JawId jaw,
                                                PartId part, const Pose& part_in_world);

/// Where a part stands in the world, at joint values 0, if a tcp holds it by a place on it.
Pose part_in_hand(const Scene& scene, const Arrangement& arrangement, TcpId tcp, const Pose& tcp_in_part);

/// The finger of the jaw that a body is or rides on: none if it is none.
FingerId finger_of(const Scene& scene, const Arrangement& arrangement, JawId jaw, BodyId body);

}  // namespace cellproof
