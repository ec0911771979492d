// SPDX-License-Identifier: GPL-3.0-or-later
// Frames along a DH chain in plain numbers, by the widest vectors that the processor has.
#pragma once

#include "kinematics/dh_row.hpp"

namespace cellproof::chain {

/// Matrices as they are stored, column after column.
struct Numbers {
  const DhRow* rows;             ///< 6
  const double* dh_from_values;  ///< 6 × 6
  const double* flange_in_last;  ///< 4 × 4
};

/// Where a frame is written to, 4 × 4.
using Place = double[16];

/// Eight frames in the base: the base itself, six links, the flange. Rz(θ) Tz(d) Tx(a) Rx(alpha) a row; six values
/// (rad).
void standard_frames(const Numbers& numbers, const double* values, Place* places);

/// The same for Rx(alpha) Tx(a) Rz(θ) Tz(d) a row.
void modified_frames(const Numbers& numbers, const double* values, Place* places);

/// Both in vectors of two numbers, which any processor has, and of four, which not every one has. The same to the bit.
void standard_frames_by_two(const Numbers& numbers, const double* values, Place* places);
void modified_frames_by_two(const Numbers& numbers, const double* values, Place* places);
bool has_vectors_of_four();
void standard_frames_by_four(const Numbers& numbers, const double* values, Place* places);
void modified_frames_by_four(const Numbers& numbers, const double* values, Place* places);

}  // namespace cellproof::chain
