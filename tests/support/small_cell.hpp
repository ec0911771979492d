// SPDX-License-Identifier: GPL-3.0-or-later
// Cells as text, small enough to read, with the loader's arm.
#pragma once

#include <string>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "kinematics/forward.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/cycle/cycle.hpp"
#include "scene/scene.hpp"
#include "tests/support/joint_values.hpp"
#include "tests/support/loader_arm.hpp"

namespace cellproof::test {

inline Cell cell_of(const std::string& text) {
  auto cell = read_cell_text(text, "cell.toml");
  if (!cell) FAIL(cell.error().text());
  return *cell;
}

inline Scene scene_of(const std::string& text) {
  auto scene = build_scene(cell_of(text));
  if (!scene) FAIL(scene.error().text());
  return std::move(*scene);
}

inline BodyId body_named(const Scene& scene, const std::string& name) {
  const BodyId body = id_named(scene.bodies, name);
  if (!body) FAIL("no body " << name);
  return body;
}

/// A body of the file.
inline std::string body_text(const std::string& name, const std::string& on, const std::string& at,
                             const std::string& shape) {
  return fmt::format("[[body]]\nname = \"{}\"\non = \"{}\"\nat = {}\n{}\n", name, on, at, shape);
}

inline std::string joint_move(const std::string& values) {
  return fmt::format("[[step]]\nmove = \"joint\"\nto = {{ joints = [{}] }}\n", values);
}

inline std::string cycle_from(const std::string& values) {
  return fmt::format("[cycle]\nstart = [{}]\n", values);
}

/// A table ahead of the arm, its top at z 300.
inline const std::string shop_table = body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]");

/// Jaws with one finger, which opens by 8 mm, and the hand that they are.
inline std::string jaws_with(const std::string& finger) {
  return R"(
[[jaw]]
name = "jaws"
on = "flange"
at = { xyz = [0, 0, 100] }
force = 400
friction = 0.2
fingers = [ { body = ")" +
         finger + R"(", open = [-8, 0, 0] } ]
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
jaw = "jaws"
)";
}

}  // namespace cellproof::test
