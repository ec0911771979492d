// SPDX-License-Identifier: GPL-3.0-or-later
// The camera that the arm carries, in the flange frame: z out of the flange, the camera out along y. And the work.
#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr int fine = 32, coarse = 20, fillet = 2;

/// Optical axis at y = 100; the lens ends at z = 22.
Shape camera() {
  const Outline lens = rounded({{0, 12}, {15, 12}, {15, 18}, {13, 22}, {0, 22}}, 1, fillet);
  const Outline connector = rounded({{0, -40}, {6, -40}, {6, -30}, {8, -28}, {8, -17}, {0, -17}}, 1, fillet);
  return moved(joined({extrude(rounded(rectangle({-22, -22}, {22, 22}), 4, 8), -18, 14), revolve(lens, fine),
                       moved(revolve(connector, coarse), shift(8, 0, 0))}),
               shift(0, 100, 0));
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
  return {{"camera.stl", camera()}, {"board.obj", board()}, {"milled-board.obj", milled_board()}};
}

}  // namespace cellproof::models::board_cell
