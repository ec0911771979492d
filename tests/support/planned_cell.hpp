// SPDX-License-Identifier: GPL-3.0-or-later
// A small cell with its plan: a table with two seats, a brick, a hand without jaws.
#pragma once

#include "scene/cycle/plan.hpp"
#include "tests/support/small_cell.hpp"

namespace cellproof::test {

struct Planned {
  Scene scene;
  Cycle cycle;
  explicit Planned(const std::string& text) : scene(scene_of(text)), cycle(plan_cycle(scene)) {}
  const CycleRun& run(std::size_t i = 0) const { return cycle.runs.at(i); }
  const CycleRun& whole() const {
    if (run().failure) FAIL(run().failure->message);
    return run();
  }
  Pose frame_at_end(const Stretch& stretch, const std::string& name) const {
    return world_poses(scene, arrangement_at(stretch, stretch.end_s),
                       joints_at(stretch, stretch.end_s))[scene.frame_named(name)];
  }
};

inline std::vector<std::string> kinds(const CycleRun& run) {
  std::vector<std::string> all;
  for (const auto& stretch : run.stretches) all.push_back(stretch.step + ": " + std::string(kind_name(stretch.kind)));
  return all;
}

inline double apart(const Pose& a, const Pose& b) {
  return (a.matrix() - b.matrix()).cwiseAbs().maxCoeff();
}

/// A table with two seats, a brick in the first, a gripper tool without jaws.
inline const std::string shop =
    shop_table + body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 80]") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100], turn = [0, 0, 30] }
grip_time = "0.3 s"
release_time = "0.2 s"
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50], turn = [0, 0, 20] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [-100, -250, 50] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "left"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] }, turns = [0, 180] } ]
)";
inline const std::string home = cycle_from("0, 0, 0, 0, -90, 0");
inline const std::string pick = R"([[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 100
retreat = [[0, 0, 40], [0, 0, 150]]
)";
inline const std::string put = R"([[step]]
name = "put"
place = "brick"
seat = "right"
at = { xyz = [0, 0, 20] }
approach = [[0, 50, 150], [0, 0, 80], [0, 0, 30]]
retreat = 80
)";

}  // namespace cellproof::test
