// SPDX-License-Identifier: GPL-3.0-or-later
// A cell in which a block is set onto a fixture and worked on: its figures can be worked by hand.
#pragma once

#include "tests/support/grip_cell.hpp"

namespace cellproof::test {

/// The block, 150 x 100 x 25 and 1.0125 kg, comes to lie on a fixture's plate with its lower face on the seat; the hold
/// is taken for 1 s, the machine works it into one that
/// weighs the same, and the arm takes that away.
struct HoldCell {
  std::string zone = "outline = [[-60, -40], [60, -40], [60, 40], [-60, 40]]\nvacuum = 60\nfriction = 0.3\n";
  std::string way = "suction = [\"plate\"]";
  std::string friction = "friction = 0.3\n";
  std::string rests = "rests = [[-70, -45], [70, -45], [70, 45], [-70, 45]]\n";
  std::string over = "over = [[-30, -20], [30, -20], [30, 20], [-30, 20]]";
  std::string cut = "cut = { side_force = 50, lift_force = 20, height = 20, " + over + " }\n";
  std::string place = "hold = \"vise\"\nconfirm = 1\n";
  std::string pick_again = "unhold = \"vise\"\n";
  std::string seat_turn = "[0, 0, 0]";
  std::string rules;
  std::string more;  ///< further entries
  bool works = true;

  std::string text() const {
    GripCell grip;
    grip.rules = rules;
    grip.tool_acceleration = 500;
    grip.to = "[790, 100, 1000]";
    grip.more = body_text("fixture", "world", "{ xyz = [790, 300, 900] }", "box = [160, 110, 90]") +
                "[[seat]]\nname = \"on the fixture\"\non = \"fixture\"\nat = { xyz = [0, 0, 45], turn = " + seat_turn +
                " }\n" + "[[suction]]\nname = \"plate\"\non = \"fixture\"\nat = { xyz = [0, 0, 45] }\n" + zone +
                "[[hold]]\nname = \"vise\"\npart = \"block\"\nseat = \"on the fixture\"\n" + way + "\n" + friction +
                rests + cut + "[[part]]\nname = \"worked\"\n" + grip.block +
                "\ngrasps = [ { name = \"top\", at = { xyz = [0, 0, 12.5], turn = [180, 0, 0] } } ]\n" + more;
    std::string all = grip.text();
    all +=
        "[[step]]\nname = \"place\"\nplace = \"block\"\nseat = \"on the fixture\"\nat = { xyz = [0, 0, 12.5] }\n"
        "approach = 40\nretreat = 40\n" +
        place;
    if (works) all += "[[step]]\nname = \"mill\"\nmachine = \"block\"\ninto = \"worked\"\ntime = 5\n";
    all += "[[step]]\nname = \"take\"\npick = \"" + std::string(works ? "worked" : "block") +
           "\"\ntcp = \"cups\"\ngrasp = \"top\"\napproach = 40\nretreat = 40\n" + pick_again;
    return all;
  }
};

}  // namespace cellproof::test
