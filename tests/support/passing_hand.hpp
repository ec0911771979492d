// SPDX-License-Identifier: GPL-3.0-or-later
// The loader's arm swings a block on its flange over a post, 3 mm above it, after a long wait.
#pragma once

#include <cmath>

#include "tests/support/proof.hpp"

namespace cellproof::test {

/// The flange stands at (790, 0, 1070) and looks down; the block hangs from z 1030 to 1050. Half way through the swing
/// of 30 degrees it stands over the post, whose top is at 1027.
inline const std::string passing_hand = head + R"(
[[body]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 30] }
box = [20, 20, 20]
[[body]]
name = "table"
at = { xyz = [763.1, 204.5, 877] }
box = [400, 400, 20]
[[body]]
name = "post"
on = "table"
at = { xyz = [0, 0, 130] }
box = [40, 40, 40]
[[camera]]
name = "eye"
on = "flange"
at = { xyz = [60, 0, 0] }
resolution = [640, 480]
view_angle = 60
range = [1, 500]
[[target]]
name = "mark"
on = "post"
at = { xyz = [0, 0, 20] }
size = [10, 10]
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
name = "stand"
wait = "100 s"
[[step]]
name = "swing"
move = "joint"
to = { joints = [30, 0, 0, 0, -90, 0] }
[[step]]
name = "back"
move = "joint"
to = { joints = [0, 0, 0, 0, -90, 0] }
)";

inline Proof proved_with_curves(const std::string& text) {
  Run run;
  run.threads = 1;
  run.curves = true;
  auto proof = prove(cell_of(text), run);
  if (!proof) FAIL(proof.error().text());
  return *proof;
}

inline const Proof& passing_proof() {
  static const Proof proof = proved_with_curves(passing_hand);
  return proof;
}

/// 30 degrees at 180 deg/s and 600 deg/s²: a triangle of speed, 2 √(30 / 600) s (derived).
inline const double swing_s = 2 * std::sqrt(30.0 / 600);

}  // namespace cellproof::test
