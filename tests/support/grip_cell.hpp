// SPDX-License-Identifier: GPL-3.0-or-later
// A cell in which a block is picked, lifted gently and carried straight: its figures can be worked by hand.
#pragma once

#include <regex>

#include "tests/support/proof.hpp"

namespace cellproof::test {

/// What a test of a grip may vary. The block is 150 x 100 x 25 at 2700 kg/m^3 = 1.0125 kg; four cups stand on a 60 x 40
/// pattern.
struct GripCell {
  double circle = 15, vacuum_kpa = 60, friction = 0.5;
  double tool_speed = 250, tool_acceleration = 5000;
  std::string rules;                                         ///< lines of [rules]
  std::string holder = R"(suction = ["a", "b", "c", "d"])";  ///< of the tcp
  std::string block = "box = [150, 100, 25]\ndensity = 2700";
  std::string grasp_at = "[0, 0, 12.5]";
  std::string to = "[790, 200, 1000]";  ///< where the tcp carries the block, from (790, 0, 1000)
  std::string more;                     ///< further entries
  std::string last;                     ///< further steps

  std::string text() const {
    std::string all = head + "[rules]\n" + rules + "\n";
    const char* names[] = {"a", "b", "c", "d"};
    for (int i = 0; i < 4; ++i)
      all += fmt::format(
          "[[suction]]\nname = \"{}\"\non = \"flange\"\nat = {{ xyz = [{}, {}, 100] }}\ncircle = {}\nvacuum = {}\n"
          "friction = {}\n",
          names[i], i % 2 ? 30 : -30, i / 2 ? 20 : -20, circle, vacuum_kpa, friction);
    all += "[[tcp]]\nname = \"cups\"\nat = { xyz = [0, 0, 100] }\n" + holder + "\n";
    all += body_text("stand", "world", "{ xyz = [790, 0, 900] }", "box = [300, 300, 90]");
    all += "[[seat]]\nname = \"nest\"\non = \"stand\"\nat = { xyz = [0, 0, 45] }\n";
    all += "[[part]]\nname = \"block\"\nseat = \"nest\"\nat = { xyz = [0, 0, 12.5] }\n" + block +
           "\ngrasps = [ { name = \"top\", at = { xyz = " + grasp_at + ", turn = [180, 0, 0] } } ]\n";
    all += more;
    all += cycle_from("0, 0, 0, 0, -90, 0");
    all +=
        "[[step]]\nname = \"pick\"\npick = \"block\"\ntcp = \"cups\"\ngrasp = \"top\"\nretreat = 30\ntool_acceleration "
        "= \"50 "
        "mm/s^2\"\n";
    all += fmt::format(
        "[[step]]\nname = \"carry\"\nmove = \"linear\"\ntool_speed = {}\ntool_acceleration = {}\n"
        "to = {{ tcp = \"cups\", frame = \"world\", at = {{ xyz = {}, turn = [180, 0, 0] }} }}\n",
        tool_speed, tool_acceleration, to);
    return all + last;
  }
};

/// The number behind a key in a mend: `vacuum = "85 kPa"`.
inline double printed(const std::string& text, const std::string& key) {
  std::smatch found;
  if (!std::regex_search(text, found, std::regex(key + " = \"?([0-9.e+]+)"))) FAIL("no " << key << " in: " << text);
  return std::stod(found[1]);
}

}  // namespace cellproof::test
