// SPDX-License-Identifier: GPL-3.0-or-later
// Compiled for AVX2: no library's inline code may be in this file, as the linker might pick it for every processor.
#include "kinematics/chain_frames.hpp"
#include "kinematics/chain_lanes.hpp"

namespace cellproof::chain {

void standard_frames_by_four(const Numbers& numbers, const double* values, Place* places) {
  write_standard_frames<4>(numbers, values, places);
}

void modified_frames_by_four(const Numbers& numbers, const double* values, Place* places) {
  write_modified_frames<4>(numbers, values, places);
}

}  // namespace cellproof::chain
