// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/chain_frames.hpp"

#include "kinematics/chain_lanes.hpp"

namespace cellproof::chain {

bool has_vectors_of_four() {
#ifdef CELLPROOF_AVX2_FILES
  return __builtin_cpu_supports("avx2");
#else
  return false;
#endif
}

void standard_frames_by_two(const Numbers& numbers, const double* values, Place* places) {
  write_standard_frames<2>(numbers, values, places);
}

void modified_frames_by_two(const Numbers& numbers, const double* values, Place* places) {
  write_modified_frames<2>(numbers, values, places);
}

void standard_frames(const Numbers& numbers, const double* values, Place* places) {
  if (has_vectors_of_four())
    standard_frames_by_four(numbers, values, places);
  else
    standard_frames_by_two(numbers, values, places);
}

void modified_frames(const Numbers& numbers, const double* values, Place* places) {
  if (has_vectors_of_four())
    modified_frames_by_four(numbers, values, places);
  else
    modified_frames_by_two(numbers, values, places);
}

}  // namespace cellproof::chain
