// SPDX-License-Identifier: GPL-3.0-or-later
// The loader's arm with bodies on its links, posts about it, and moves to poses among them.
#pragma once

#include <vector>

#include "tests/support/small_cell.hpp"

namespace cellproof::test {

/// The arm with bodies on its links, its last joints held within a turn so that few solutions are left.
inline std::string slim_arm() {
  std::string text = head;
  const auto limit = [&](const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
  };
  limit("min = -190, max = 190", "min = -170, max = 170");
  limit("min = -350, max = 350", "min = -170, max = 170");
  return text + body_text("upper", "link2", "{ xyz = [-300, 0, 0] }", "box = [600, 80, 80]") +
         body_text("forearm", "link3", "{ xyz = [0, 0, 320] }", "box = [80, 80, 640]") +
         body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 78]") +
         "[[tcp]]\nname = \"hand\"\non = \"flange\"\nat = { xyz = [0, 0, 100] }\n";
}

inline std::string posts_at(const std::vector<Vector3d>& places) {
  std::string text;
  for (std::size_t i = 0; i < places.size(); ++i)
    text += body_text(fmt::format("post {}", i), "world",
                      fmt::format("{{ xyz = [{}, {}, {}] }}", places[i].x(), places[i].y(), places[i].z()),
                      "box = [90, 90, 90]");
  return text;
}

inline std::string pose_move(const Vector3d& place, double yaw) {
  return fmt::format(
      "[[step]]\nmove = \"joint\"\nto = {{ tcp = \"hand\", at = {{ xyz = [{}, {}, {}], turn = [180, 0, {}] }} }}\n",
      place.x(), place.y(), place.z(), yaw);
}

}  // namespace cellproof::test
