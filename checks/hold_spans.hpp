// SPDX-License-Identifier: GPL-3.0-or-later
// From when to when each fixture holds.
#pragma once

#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// A `hold` takes at a place's release and lets go at the end of a pick's grip that names it in `unhold`.
struct HoldSpan {
  HoldId hold;
  std::size_t taken = 0;          ///< the release stretch, into run.stretches
  std::size_t let_go = 0;         ///< the grip stretch; the number of stretches if it holds to the end
  std::vector<std::size_t> work;  ///< machine stretches in between that work on a part in the hold's seat
};

std::vector<HoldSpan> hold_spans(const Scene& scene, const CycleRun& run);

/// The seat's frame, a slot's taken for the seat it stands on in the arrangement.
FrameId true_seat(const Scene& scene, const Arrangement& arrangement, FrameId seat);

/// The step's action if it is of that kind.
template <class Action>
const Action* action_of(const Scene& scene, const Stretch& stretch) {
  return std::get_if<Action>(&scene.cell.cycle->steps[stretch.step_index].action);
}

}  // namespace cellproof
