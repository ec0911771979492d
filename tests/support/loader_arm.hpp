// SPDX-License-Identifier: GPL-3.0-or-later
// The joints of an invented loader's arm with a spherical wrist, fast and wide, as a cell file has them.
#pragma once

#include <string>

namespace cellproof::test {

/// At zero the flange stands at (890, 0, 1170) in base and looks along +x; joint 1 turns all of it about base z.
/// With joint 5 at -90 deg and the rest at zero it stands at (790, 0, 1070) and looks down, x of the flange ahead.
inline const std::string joints = R"(
joints = [
  { a = 150, alpha = 90,  d = 450, theta = 0,  min = -170, max = 170, speed = 180, acceleration = 600 },
  { a = 600, alpha = 0,   d = 0,   theta = 90, min = -150, max = 150, speed = 180, acceleration = 600 },
  { a = 120, alpha = 90,  d = 0,   theta = 0,  min = -170, max = 170, speed = 180, acceleration = 600 },
  { a = 0,   alpha = -90, d = 640, theta = 0,  min = -190, max = 190, speed = 300, acceleration = 900 },
  { a = 0,   alpha = 90,  d = 0,   theta = 0,  min = -125, max = 125, speed = 300, acceleration = 900 },
  { a = 0,   alpha = 0,   d = 100, theta = 0,  min = -350, max = 350, speed = 300, acceleration = 900 },
]
)";
inline const std::string head = "format = 1\n[arm]\n" + joints;

}  // namespace cellproof::test
