// SPDX-License-Identifier: GPL-3.0-or-later
// What the arm carries, and the work. The gripper in the flange frame: z out of the flange, the cups along x, the
// camera out along y.
#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr int fine = 32, coarse = 20, fillet = 2;
constexpr double cup_x = 62, seal_z = 120;

Shape gripper_plate() {
  std::vector<Outline> slots;
  for (const double x : {-32.0, 0.0, 32.0}) slots.push_back(rounded(rectangle({x - 9, -14}, {x + 9, 14}), 9, 8));
  std::vector<Shape> shapes = {
      revolve(rounded({{0, 0}, {38, 0}, {38, 10}, {24, 18}, {24, 41}, {0, 41}}, 3, fillet), fine),
      extrude(rounded(rectangle({-95, -32}, {95, 32}), 14, 8), slots, 40, 50),
      extrude(rounded(rectangle({-40, -27}, {40, -5}), 4, 6), 49, 66),
      extrude(rounded(rectangle({-14, 20}, {14, 86}), 6, 8), 15, 21)};
  for (const double x : {-cup_x, cup_x}) {
    shapes.push_back(
        moved(revolve(rounded({{0, 26}, {9, 26}, {9, 49}, {15, 49}, {15, 58}, {10, 62}, {10, 82}, {0, 82}}, 1, fillet),
                      coarse),
              shift(x, 0, 0)));
  }
  return joined(shapes);
}

/// The cup on the +x side: a bellows of two and a half folds.
Shape cup() {
  const Outline bellows = {{6, 80},   {12, 80},     {12, 86},     {18, 92}, {12, 98}, {18, 104},
                           {12, 110}, {19, seal_z}, {16, seal_z}, {9, 110}, {6, 104}};
  return moved(revolve(rounded(bellows, 1.2, 2), fine), shift(cup_x, 0, 0));
}

/// Optical axis at y = 100; the lens ends at z = 22.
Shape camera() {
  const Outline lens = rounded({{0, 12}, {15, 12}, {15, 18}, {13, 22}, {0, 22}}, 1, fillet);
  const Outline connector = rounded({{0, -40}, {6, -40}, {6, -30}, {8, -28}, {8, -17}, {0, -17}}, 1, fillet);
  return moved(joined({extrude(rounded(rectangle({-22, -22}, {22, 22}), 4, 8), -18, 14), revolve(lens, fine),
                       moved(revolve(connector, coarse), shift(8, 0, 0))}),
               shift(0, 100, 0));
}

/// Bends the hose down beside the cups: a plate out along y and a clamp round the hose's end.
Shape hose_bracket() {
  const Outline side = {{24, 51}, {92, 51}, {92, 105}, {60, 105}, {60, 57}, {24, 57}};
  return joined({extrude_along_x(rounded(side, 2, 6), {circle({76, 88}, 7, 32)}, 2.4, 26),
                 moved(moved(tube(11, 7.5, -4, 40, fine), z_to_x()), shift(0, 76, 88) * shift(6.4, 0, 0))});
}

/// Along both long edges, six to each side of the middle, where the mark is printed.
std::vector<Outline> terminal_holes() {
  std::vector<Outline> holes;
  for (const double y : {-67.0, 67.0}) {
    for (const double side : {-1.0, 1.0}) {
      for (int k = 0; k < 6; ++k) holes.push_back(circle({side * (40 + 12.0 * k), y}, 2.5, 12));
    }
  }
  return holes;
}

/// Origin in the middle of its lower face.
Shape board_with(const std::vector<Outline>& holes) {
  return extrude(rounded(rectangle({-115, -75}, {115, 75}), 6, 8), holes, 0, 12);
}

Shape board() {
  return board_with(terminal_holes());
}

Shape milled_board() {
  std::vector<Outline> holes = terminal_holes();
  for (const double x : {-97.0, -26.0, 26.0, 97.0}) {
    holes.push_back(rounded(rectangle({x - 5, -50}, {x + 5, 50}), 4.9, 8));
  }
  return board_with(holes);
}

}  // namespace

std::vector<NamedShape> tool_shapes() {
  return {{"gripper-plate.stl", gripper_plate()}, {"cup.stl", cup()},     {"camera.stl", camera()},
          {"hose-bracket.stl", hose_bracket()},   {"board.obj", board()}, {"milled-board.obj", milled_board()}};
}

}  // namespace cellproof::models::board_cell
