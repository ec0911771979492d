// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/playhead.hpp"

#include <algorithm>

namespace cellproof {

Playhead advanced(Playhead head, const Timeline& timeline, double seconds) {
  if (!head.playing) return head;
  const double place = timeline.axis.place_of(head.time_s) + head.pace * seconds;
  head.playing = place < timeline.axis.length();
  head.time_s = head.playing ? timeline.axis.time_of(place) : timeline.duration_s;
  return head;
}

Playhead scrubbed(Playhead head, const Timeline& timeline, double share) {
  head.playing = false;
  head.time_s = timeline.axis.time_of(std::clamp(share, 0.0, 1.0) * timeline.axis.length());
  return head;
}

Playhead toggled(Playhead head, const Timeline& timeline) {
  if (!head.playing && head.time_s >= timeline.duration_s) head.time_s = 0;
  head.playing = !head.playing;
  return head;
}

}  // namespace cellproof
