// SPDX-License-Identifier: GPL-3.0-or-later
// Small cells at random, with a liking for what is degenerate: faces in one plane, exact contact, one body in another,
// moves that go nowhere, hair-thin and huge, far from the origin. Each is known by its numbers, for an oracle, and as
// text, whose tables can be put in another order.
#pragma once

#include <map>
#include <optional>

#include "tests/support/motion_oracle.hpp"
#include "tests/support/proof.hpp"
#include "tests/support/random_geometry.hpp"

namespace cellproof::test {

using random_geometry::between;
using random_geometry::Engine;
using JointsDeg = std::array<double, 6>;

inline bool one_in(Engine& engine, int n) {
  return engine() % static_cast<unsigned>(n) == 0;
}

struct StatedPose {
  std::array<double, 3> xyz{}, turn{};
  motion_oracle::Placing placing() const { return motion_oracle::stated(xyz, turn); }
  std::string text() const {
    return fmt::format("{{ xyz = [{}, {}, {}], turn = [{}, {}, {}] }}", xyz[0], xyz[1], xyz[2], turn[0], turn[1],
                       turn[2]);
  }
};

struct RandomBody {
  std::string name, on;
  StatedPose at;
  std::string shape;
};

/// One step: joints to go to, straight in joint space or with the flange on a line; or bodies that shift; or a wait.
struct RandomStep {
  enum class Kind { joint, linear, shift, wait } kind = Kind::joint;
  JointsDeg to{};
  std::vector<std::string> bodies;
  std::vector<StatedPose> places;
};

struct RandomCell {
  std::array<std::array<double, 4>, 6> rows{};  ///< a, alpha, d, theta
  StatedPose base;
  JointsDeg start{};
  std::vector<RandomBody> bodies;
  std::vector<RandomStep> steps;
  double rule = 0;
  std::vector<std::string> more_tables;

  std::string arm_text() const {
    std::string text = "format = 1\n[arm]\nbase = " + base.text() + "\njoints = [\n";
    for (const auto& [a, alpha, d, theta] : rows)
      text += fmt::format(
          "  {{ a = {}, alpha = {}, d = {}, theta = {}, min = -360, max = 360, speed = 90, acceleration = 300 }},\n", a,
          alpha, d, theta);
    return text + "]\n";
  }
  std::string cycle_text() const {
    std::string text = fmt::format("[cycle]\nstart = [{}]\n", fmt::join(start, ", "));
    for (std::size_t i = 0; i < steps.size(); ++i) {
      const RandomStep& step = steps[i];
      text += fmt::format("[[step]]\nname = \"step {}\"\n", i + 1);
      if (step.kind == RandomStep::Kind::wait) text += "wait = 0.5\n";
      if (step.kind == RandomStep::Kind::joint)
        text += fmt::format("move = \"joint\"\nto = {{ joints = [{}] }}\n", fmt::join(step.to, ", "));
      if (step.kind == RandomStep::Kind::linear)
        text += fmt::format("move = \"linear\"\nto = {{ tcp = \"tip\", joints = [{}] }}\n", fmt::join(step.to, ", "));
      if (step.kind == RandomStep::Kind::shift) {
        std::string names, places;
        for (std::size_t k = 0; k < step.bodies.size(); ++k) {
          names += fmt::format("{}\"{}\"", k ? ", " : "", step.bodies[k]);
          places += fmt::format("{}{}", k ? ", " : "", step.places[k].text());
        }
        text += fmt::format("shift = [{}]\nto = [{}]\ntime = 1\n", names, places);
      }
    }
    return text;
  }
  /// With its tables in an order of the engine's, or as they come.
  std::string text(Engine* shuffle = nullptr) const {
    std::vector<std::string> tables = more_tables;
    for (const RandomBody& body : bodies) tables.push_back(body_text(body.name, body.on, body.at.text(), body.shape));
    tables.emplace_back("[[tcp]]\nname = \"tip\"\non = \"flange\"\n");
    if (shuffle) std::shuffle(tables.begin(), tables.end(), *shuffle);
    return arm_text() + fmt::format("{}", fmt::join(tables, "")) + fmt::format("[rules]\nclearance = {}\n", rule) +
           cycle_text();
  }
};

namespace random_cell {

/// Lengths of one cell are in proportion to this (mm).
inline double size_of_cell(Engine& engine) {
  const auto pick = engine() % 10;
  return pick == 0 ? 3 : pick == 1 ? 1e4 : pick == 2 ? 9e4 : 300;
}

/// A round number every other time: faces fall into one plane.
inline double length(Engine& engine, double size) {
  const double share = one_in(engine, 2) ? std::round(between(engine, -4, 4)) / 4 : between(engine, -1, 1);
  return share * size;
}
inline double angle(Engine& engine) {
  return one_in(engine, 2) ? 90 * std::round(between(engine, -2, 2)) : between(engine, -180, 180);
}
inline StatedPose pose(Engine& engine, double reach) {
  StatedPose pose;
  for (double& x : pose.xyz) x = length(engine, reach);
  if (!one_in(engine, 3))
    for (double& x : pose.turn) x = angle(engine);
  return pose;
}

inline std::string shape(Engine& engine, double size) {
  const auto edge = [&] {
    return size * (one_in(engine, 8) ? 1e-3 : one_in(engine, 2) ? 0.25 : between(engine, 0.05, 0.6));
  };
  const auto pick = engine() % 48;
  if (pick == 0) return fmt::format("cylinder = {{ radius = {}, height = {} }}", edge(), edge());
  return fmt::format("box = [{}, {}, {}]", edge(), edge(), edge());
}

/// Where a body of the arm stands at the start, near which others are set.
inline StatedPose beside(Engine& engine, const motion_oracle::Placing& here, double size) {
  StatedPose pose = random_cell::pose(engine, 0);
  const double off = one_in(engine, 6) ? 0 : size * between(engine, 0.2, 1.5);
  const Vector3d way = off * random_geometry::direction(engine);
  pose.xyz = {static_cast<double>(here.at.x) + way.x(), static_cast<double>(here.at.y) + way.y(),
              static_cast<double>(here.at.z) + way.z()};
  return pose;
}

/// Half a turn has two ways.
inline bool is_half_turn(const StatedPose& from, const StatedPose& to) {
  const auto way = motion_oracle::undone(from.placing()) * to.placing();
  return way.x.x + way.y.y + way.z.z < -0.999;
}

inline JointsDeg near_joints(Engine& engine, JointsDeg from, double most) {
  for (double& value : from)
    if (!one_in(engine, 3)) value = std::clamp(value + between(engine, -most, most), -350.0, 350.0);
  return from;
}

}  // namespace random_cell

/// Frames of the cell: base, link 1 … 6, in world.
inline std::vector<motion_oracle::Placing> arm_placings(const RandomCell& cell,
                                                        const std::array<long double, 6>& joints_deg) {
  std::vector<motion_oracle::Placing> all{cell.base.placing()};
  for (std::size_t i = 0; i < 6; ++i) {
    const auto& [a, alpha, d, theta] = cell.rows[i];
    all.push_back(all.back() * motion_oracle::link(a, alpha, d, theta + joints_deg[i]));
  }
  return all;
}

inline RandomCell random_cell_of(Engine& engine) {
  using namespace random_cell;
  RandomCell cell;
  const double size = size_of_cell(engine);
  for (auto& row : cell.rows)
    row = {one_in(engine, 3) ? 0 : length(engine, size), one_in(engine, 2) ? 90 : angle(engine),
           one_in(engine, 3) ? 0 : length(engine, size), one_in(engine, 2) ? 0 : angle(engine)};
  cell.rows[1][0] = size;
  if (one_in(engine, 5)) cell.base = pose(engine, one_in(engine, 2) ? size : 9e4);
  for (double& value : cell.start) value = one_in(engine, 3) ? 0 : between(engine, -170, 170);
  std::array<long double, 6> start{};
  std::copy(cell.start.begin(), cell.start.end(), start.begin());
  const auto links = arm_placings(cell, start);

  const std::vector<std::string> carriers{"base", "link2", "link3", "link5", "flange", "flange"};
  const std::vector<std::size_t> numbers{0, 2, 3, 5, 6, 6};
  for (std::size_t i = 0; i < carriers.size(); ++i)
    if (i == 4 || !one_in(engine, 2))
      cell.bodies.push_back(
          {fmt::format("{} body {}", carriers[i], i), carriers[i], pose(engine, 0.3 * size), shape(engine, size)});
  const auto around = 1 + engine() % 5;
  for (std::size_t i = 0; i < around; ++i) {
    const auto by = numbers[engine() % numbers.size()];
    cell.bodies.push_back(
        {fmt::format("thing {}", (7 * i + 3) % 11), "world", beside(engine, links[by], size), shape(engine, size)});
  }
  if (one_in(engine, 4))  // faces exactly in parallel, a round gap above: the flange's first body's twin
    cell.bodies.push_back({"twin",
                           "flange",
                           {{0, 0, size * between(engine, 1, 2)}, {}},
                           fmt::format("box = [{0}, {0}, {0}]", 0.25 * size)});
  cell.rule = one_in(engine, 3) ? 0 : between(engine, 0, 0.03) * size;

  JointsDeg now = cell.start;
  const auto steps = 1 + engine() % 3;
  for (std::size_t i = 0; i < steps; ++i) {
    RandomStep step;
    const auto kind = engine() % 8;
    if (kind == 0) {
      step.kind = RandomStep::Kind::wait;
    } else if (kind == 1) {
      step.kind = RandomStep::Kind::shift;
      for (const RandomBody& body : cell.bodies)
        if (body.on == "world" && (step.bodies.empty() || one_in(engine, 2))) {
          step.bodies.push_back(body.name);
          StatedPose to = pose(engine, 0.5 * size);
          while (is_half_turn(body.at, to)) to = pose(engine, 0.5 * size);
          for (std::size_t k = 0; k < 3; ++k) to.xyz[k] += body.at.xyz[k];
          step.places.push_back(to);
        }
    } else {
      step.kind = kind == 2 || kind == 3 ? RandomStep::Kind::linear : RandomStep::Kind::joint;
      step.to = one_in(engine, 10) ? now : near_joints(engine, now, step.kind == RandomStep::Kind::linear ? 15 : 120);
      now = step.to;
    }
    cell.steps.push_back(step);
  }
  return cell;
}

}  // namespace cellproof::test
