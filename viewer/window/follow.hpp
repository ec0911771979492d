// SPDX-License-Identifier: GPL-3.0-or-later
// Tells on standard output what the window shows, so that another program can look on and press its controls.
#pragma once

#include <string>

#include "viewer/window/cell_window.hpp"

namespace cellproof {

/// What is shown, as one line of JSON: the instant (s, joints in degrees), what is chosen, where the eye is (mm, rad),
/// and every control that can be seen with its place in the window: [left, top, width, height] in pixels.
std::string shown_line(const CellWindow& window);

class Follow {
 public:
  /// Writes the line where it differs from the last. Called between the library's ticks.
  void tell(const CellWindow& window);

 private:
  unsigned drawings_ = 0;
  std::string last_;
};

}  // namespace cellproof
