// SPDX-License-Identifier: GPL-3.0-or-later
// A cell in which two fingers take a block from above: how far apart they are drawn decides whether they hold it.
#pragma once

#include "tests/support/grip_cell.hpp"

namespace cellproof::test {

/// The block lies with its top at the tcp; the fingers, 10 x 20 x 40, reach 15 below it.
struct JawCell {
  double width = 30;             ///< of the block, along the jaw's x
  double left = 15, right = 15;  ///< from the middle to the faces of the fingers, closed
  double reach = 15;             ///< of the fingers below the tcp
  std::string jaw;               ///< further keys
  std::string touch = "touch = [\"left finger\", \"right finger\"]\n";
  std::string fingers =
      "fingers = [ { body = \"left finger\", open = [-9, 0, 0] }, { body = \"right finger\", open = [9, 0, 0] } ]\n";
  bool with_fingers = true;

  std::string text() const {
    GripCell cell;
    cell.block = fmt::format("box = [{}, 100, 25]\ndensity = 2700", width);
    cell.holder = "jaw = \"jaws\"\n" + touch;
    if (with_fingers)
      for (const auto& [name, x] : {std::pair{"left finger", -left - 5}, {"right finger", right + 5}})
        cell.more +=
            body_text(name, "flange", fmt::format("{{ xyz = [{}, 0, {}] }}", x, 80 + reach), "box = [10, 20, 40]");
    cell.more +=
        "[[jaw]]\nname = \"jaws\"\non = \"flange\"\nat = { xyz = [0, 0, 100] }\nforce = 100\nfriction = 0.2\n" + jaw +
        fingers;
    return cell.text();
  }
};

}  // namespace cellproof::test
