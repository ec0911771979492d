// SPDX-License-Identifier: GPL-3.0-or-later
// A cell whose closest approach is known: a bar carried past a wall, by an arm that has no choice how to.
#pragma once

#include "tests/support/proof.hpp"

namespace cellproof::test {

/// The arm with its limits so narrow that every pose near the tests' starts has one solution, or two where joint 4
/// turns.
inline std::string narrow_head(bool joint4_fixed) {
  std::string text = head;
  const auto limit = [&](const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
  };
  limit("min = -170, max = 170", "min = -90, max = 90");
  limit("min = -150, max = 150", "min = -70, max = 70");
  limit("min = -170, max = 170", "min = -80, max = 80");
  if (!joint4_fixed) return text;
  limit("min = -190, max = 190", "min = -60, max = 60");
  limit("min = -125, max = 125", "min = -125, max = 0");
  limit("min = -350, max = 350", "min = -170, max = 170");
  return text;
}

/// A bar wider than the tool, taken from one side and put down on the other; a wall stands out of the tool's way only.
/// On its way round base z the bar's far end, its corner, passes the wall's face at `gap` mm.
inline std::string bar_past_wall(double gap) {
  // The hand stands down at joint 5 = -90: flange at 790 from base z; the bar lies along the flange's x, outward: it
  // reaches 790 + 150 ahead, 20 to each side.
  const double corner = std::hypot(790 + 150, 20);
  return narrow_head(true) + body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 78]") +
         body_text("table", "world", "{ xyz = [0, 0, 820] }", "box = [200, 200, 20]") +
         body_text("wall", "world", fmt::format("{{ xyz = [{}, 0, 970] }}", corner + gap + 50),
                   "box = [100, 80, 600]") +
         R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "left"
on = "table"
at = { xyz = [395, 684.160068, 130], turn = [0, 0, 60] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [395, -684.160068, 130], turn = [0, 0, -60] }
[[part]]
name = "bar"
box = [300, 40, 20]
seat = "left"
at = { xyz = [0, 0, 10] }
grasps = [ { name = "top", at = { xyz = [0, 0, 10], turn = [180, 0, 0] } } ]
[rules]
clearance = 0
[cycle]
start = [-60, 0, 0, 0, -90, 0]
[[step]]
name = "there"
move = "joint"
to = { joints = [60, 0, 0, 0, -90, 0] }
[[step]]
name = "take"
pick = "bar"
tcp = "hand"
grasp = "top"
[[step]]
name = "across"
move = "joint"
to = { joints = [-60, 0, 0, 0, -90, 0] }
[[step]]
name = "put"
place = "bar"
seat = "right"
at = { xyz = [0, 0, 10] }
[[step]]
name = "back"
move = "joint"
to = { joints = [60, 0, 0, 0, -90, 0] }
)";
}

}  // namespace cellproof::test
