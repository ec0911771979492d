// SPDX-License-Identifier: GPL-3.0-or-later
// Which named frame rides on which, as the cell file says it.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// For each frame the frames it rides on: one, or for a slot every seat that it stands for; none for world and for a
/// part that is not in a seat yet.
struct FrameRides {
  std::map<std::string, std::vector<std::string>, std::less<>> parents;
  std::map<std::string, bool, std::less<>> is_part;
};

FrameRides frame_rides(const Cell& cell);

/// True if `frame` is `carrier`, or rides on it without a part between: a part is carried about, what is fixed stays.
bool rides_on(const FrameRides& rides, const std::string& frame, const std::string& carrier);

/// The frames from `start` along what it rides on back to itself: "a", "b", "a". Empty if there is no such loop.
std::vector<std::string> loop_through(const FrameRides& rides, const std::string& start);

}  // namespace cellproof
