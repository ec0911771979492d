// SPDX-License-Identifier: GPL-3.0-or-later
// Where on the timeline the window is, and how that goes on by itself.
#pragma once

#include "viewer/timeline.hpp"

namespace cellproof {

struct Playhead {
  std::size_t run = 0;
  double time_s = 0;
  bool playing = false;
  double pace = 1;  ///< shown seconds in a second of the clock
};

/// After `seconds` of the clock. It moves along the line as drawn, so that long waits pass quickly; it stops at the
/// end.
Playhead advanced(Playhead head, const Timeline& timeline, double seconds);

/// At a share 0 … 1 of the line as drawn; it stops playing there.
Playhead scrubbed(Playhead head, const Timeline& timeline, double share);

/// Playing from where it is, from the start if it is at the end; or paused.
Playhead toggled(Playhead head, const Timeline& timeline);

}  // namespace cellproof
