// SPDX-License-Identifier: GPL-3.0-or-later
// Cells as text, small enough to read: an invented loader's arm with a spherical wrist, its joints fast and wide.
#pragma once

#include <string>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "kinematics/forward.hpp"
#include "scene/cell_file.hpp"
#include "scene/cycle.hpp"
#include "scene/scene.hpp"

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

inline int body_named(const Scene& scene, const std::string& name) {
  for (std::size_t i = 0; i < scene.bodies.size(); ++i)
    if (scene.bodies[i].name == name) return static_cast<int>(i);
  FAIL("no body " << name);
  return -1;
}

inline Joints degrees_of(double a, double b, double c, double d, double e, double f) {
  Joints values;
  values << a, b, c, d, e, f;
  return values * (pi / 180);
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

}  // namespace cellproof::test
