// SPDX-License-Identifier: GPL-3.0-or-later
// What the arm carries, and the work. Gripper and camera in the flange frame: z out of the flange.
#include "models/flange_cell.hpp"

namespace cellproof::models::flange_cell {
namespace {

constexpr int fine = 64, fillet = 3;

Shape gripper_body() {
  std::vector<Shape> shapes = {revolve(rounded({{0, 0}, {42, 0}, {42, 22.5}, {0, 22.5}}, 3, fillet), fine),
                               extrude(rounded(rectangle({-58, -42}, {58, 42}), 12, 8), 22, 86)};
  for (const double y : {-27.0, 27.0}) {
    shapes.push_back(moved(moved(cylinder(7, -70, 70, 48), z_to_x()), shift(0, y, 72)));
  }
  return joined(shapes);
}

/// The finger on the +x side, closed on a hub of radius 40; its shoulder carries the clamp screw.
Shape finger(const Outline& shoulder) {
  Outline side = {{28, 87}, {60, 87}};
  side.insert(side.end(), shoulder.begin(), shoulder.end());
  for (const Vector2d& point : {Vector2d(58, 185), Vector2d(40, 185), Vector2d(40, 155), Vector2d(45, 148),
                                Vector2d(45, 118), Vector2d(28, 112)}) {
    side.push_back(point);
  }
  return extrude_along_y(rounded(side, 2.5, 8), {}, -16, 16);
}

/// As drawn: a square shoulder, 89 from the middle.
Shape finger_square() {
  return finger({{60, 100}, {89, 100}, {89, 130}, {58, 130}});
}

/// Mended: the shoulder relieved to 70.
Shape finger_relieved() {
  return finger({{70, 98}, {70, 110}, {58, 126}});
}

Shape camera_bracket() {
  std::vector<Outline> screws;
  for (const double x : {98.0, 126.0}) {
    for (const double y : {-14.0, 14.0}) screws.push_back(circle({x, y}, 2.2, 16));
  }
  return extrude(rounded(rectangle({43, -22}, {134, 22}), 8, 8), screws, 8, 15);
}

Shape camera_body() {
  const Outline lens = rounded({{0, 45}, {14, 45}, {14, 52}, {12, 58}, {0, 58}}, 1, fillet);
  return joined({moved(extrude(rounded(rectangle({-20, -20}, {20, 20}), 4, 8), 16, 46), shift(112, 0, 0)),
                 moved(revolve(lens, fine), shift(112, 0, 0))});
}

/// Origin in the middle of its rest face, hub up. An arrow is cast on the plate at x = 60.
Shape flange_casting() {
  std::vector<Outline> holes = hole_circle(62, 7, 6, 24, 0.5235987756);
  holes.push_back(circle({0, 0}, 38, fine));
  const Outline hub =
      rounded({{20, 0}, {38.5, 0}, {38.5, 17.5}, {46, 17.5}, {46, 18.5}, {40, 24}, {40, 60}, {20, 60}}, 1.5, fillet);
  return joined({extrude(circle({0, 0}, 80, fine), holes, 0, 18), revolve(hub, fine),
                 extrude({{52, -6}, {60, -6}, {60, -10}, {69, 0}, {60, 10}, {60, 6}, {52, 6}}, 17.5, 19)});
}

}  // namespace

std::vector<NamedShape> tool_shapes() {
  return {{"gripper-body.stl", gripper_body()},       {"finger.stl", finger_square()},
          {"finger-relieved.stl", finger_relieved()}, {"camera-bracket.stl", camera_bracket()},
          {"camera-body.stl", camera_body()},         {"flange-casting.obj", flange_casting()}};
}

}  // namespace cellproof::models::flange_cell
