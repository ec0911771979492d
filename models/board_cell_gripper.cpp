// SPDX-License-Identifier: GPL-3.0-or-later
// The gripper as its designer would hand it over: one STEP file of four solids in the flange frame, z out of the
// flange, the cups along x, the camera out along y.
#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr double cup_x = 62, seal_z = 120;

Json plate() {
  std::vector<Json> slots;
  for (const double x : {-32.0, 0.0, 32.0}) slots.push_back(arcs(rectangle({x - 9, -14}, {x + 9, 14}), 8));
  std::vector<Json> pieces = {turned(arcs({{0, 0}, {38, 0}, {38, 10}, {24, 18}, {24, 41}, {0, 41}}, 3)),
                              extruded(arcs(rectangle({-95, -32}, {95, 32}), 14), slots, 40, 50),
                              extruded(arcs(rectangle({-40, -27}, {40, -5}), 4), {}, 49, 66),
                              extruded(arcs(rectangle({-14, 20}, {14, 86}), 6), {}, 15, 21)};
  const Json post = turned(arcs({{0, 26}, {9, 26}, {9, 49}, {15, 49}, {15, 58}, {10, 62}, {10, 82}, {0, 82}}, 1));
  for (const double x : {-cup_x, cup_x}) pieces.push_back(at(post, {x, 0, 0}));
  return solid("plate", pieces);
}

/// A bellows of two and a half folds.
Json cup(const std::string& name, double x) {
  const Outline bellows = {{6, 80},   {12, 80},     {12, 86},     {18, 92}, {12, 98}, {18, 104},
                           {12, 110}, {19, seal_z}, {16, seal_z}, {9, 110}, {6, 104}};
  return solid(name, {at(turned(arcs(bellows, 1.2)), {x, 0, 0})});
}

/// Bends the hose down beside the cups: a plate out along y and a clamp round the hose's end.
Json hose_bracket() {
  const Outline side = {{24, 51}, {92, 51}, {92, 105}, {60, 105}, {60, 57}, {24, 57}};
  const Eigen::Quaterniond z_along_x(0.5, 0.5, 0.5, 0.5);  // the outline's x and y along y and z
  const Json clamp = extruded(arc_circle({76, 88}, 11), {arc_circle({76, 88}, 7.5)}, 2.4, 46.4);
  return solid("hose bracket",
               {at(extruded(arcs(side, 2), {arc_circle({76, 88}, 7)}, 2.4, 26), Vector3d::Zero(), z_along_x),
                at(clamp, Vector3d::Zero(), z_along_x)});
}

}  // namespace

std::vector<StepFile> step_files() {
  return {{"gripper.step", {plate(), cup("front cup", cup_x), cup("rear cup", -cup_x), hose_bracket()}}};
}

}  // namespace cellproof::models::board_cell
