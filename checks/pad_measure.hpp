// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the pads of a jaw meet the part that they are to hold.
#pragma once

#include <optional>
#include <vector>

#include "scene/cycle/cycle.hpp"
#include "scene/forces/pad_contact.hpp"

namespace cellproof {

/// A finger at the end of its stroke, still off the part: it presses on nothing, however near it is.
struct ShortFinger {
  BodyId body;
  double gap_mm = 0;
};

struct PadMeasure {
  JawId jaw;
  PartId part;
  bool looked_at = false;  ///< false: no pads are modelled
  PadContact contact;      ///< in the jaw's frame, bodies numbered as in scene.bodies
  std::vector<ShortFinger> short_fingers;
};

/// At the end of a grip, fingers closed, the `touch` bodies and fingers of a tcp with a jaw. Without either in the file
/// all end-effector bodies are asked, and where nothing of them stands opposite the part no pads are modelled.
std::optional<PadMeasure> measure_pads_of_grip(const Scene& scene, const Stretch& stretch);

/// The fingers of a hold's jaw against the part at a pose, with the frames as in `world`.
PadMeasure measure_pads_of_hold(const Scene& scene, const Table<FrameId, Pose>& world, JawId jaw, PartId part,
                                const Pose& part_in_world);

}  // namespace cellproof
