// SPDX-License-Identifier: GPL-3.0-or-later
// What stands around the arm, the mill apart.
#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr int fine = 40, coarse = 16, fillet = 2;
constexpr double board_x = 115, board_y = 75;  // half a board

/// The middles of the eight places, 2 along x and 4 along y; boards lie with their long side along x.
std::vector<Vector2d> places() {
  std::vector<Vector2d> all;
  for (const double y : {-285.0, -95.0, 95.0, 285.0}) {
    for (const double x : {-135.0, 135.0}) all.emplace_back(x, y);
  }
  return all;
}

/// Four legs with feet, joined by rails under a top at `height`.
std::vector<Shape> stand(double half_x, double half_y, double height) {
  const Shape foot = revolve(rounded({{0, 0}, {32, 0}, {32, 8}, {10, 14}, {10, 45}, {0, 45}}, 2, fillet), coarse);
  std::vector<Shape> shapes;
  for (const double x : {-half_x, half_x}) {
    for (const double y : {-half_y, half_y}) {
      shapes.push_back(moved(foot, shift(x, y, 0)));
      shapes.push_back(moved(extrude(rounded(rectangle({-25, -25}, {25, 25}), 6, 6), 40, height), shift(x, y, 0)));
    }
  }
  for (const double z : {180.0, height - 70}) {
    for (const double x : {-half_x, half_x}) shapes.push_back(box({x - 18, -half_y, z}, {x + 18, half_y, z + 36}));
    for (const double y : {-half_y, half_y}) shapes.push_back(box({-half_x, y - 19, z - 1}, {half_x, y + 19, z + 37}));
  }
  return shapes;
}

/// Origin on the floor; boards rest 750 up on four pads each, between six pins.
Shape rack() {
  std::vector<Shape> shapes = stand(235, 330, 727);
  const Shape pad = revolve({{0, 739}, {12, 739}, {10, 750}, {0, 750}}, coarse);
  const Shape pin = revolve({{0, 739}, {4, 739}, {4, 755}, {2, 758}, {0, 758}}, 10);
  const Shape nest = extrude(rounded(rectangle({-133, -93}, {133, 93}), 12, 6),
                             {rounded(rectangle({-60, -50}, {60, 50}), 20, 6)}, 726, 740);
  for (const Vector2d& place : places()) {
    auto put = [&](const Shape& shape, double x, double y) {
      shapes.push_back(moved(shape, shift(place.x() + x, place.y() + y, 0)));
    };
    put(nest, 0, 0);
    for (const double side : {-1.0, 1.0}) {
      for (const double end : {-1.0, 1.0}) put(pad, side * (board_x - 20), end * (board_y - 20));
      put(pin, side * (board_x + 7), 0);
      for (const double x : {-80.0, 80.0}) put(pin, x, side * (board_y + 7));
    }
  }
  return joined(shapes);
}

/// Origin on the floor. Three lamps on top, 170 above the boards, tell when the rack is empty.
Shape signal_post() {
  const Outline tube = rounded(rectangle({-20, -20}, {20, 20}), 4, 6);
  std::vector<Shape> shapes = {
      extrude(rounded(rectangle({-90, -90}, {90, 90}), 15, 8), hole_circle(95, 7, 4, 20, 0.7853981634), 0, 12),
      extrude(tube, 11, 932), cylinder(11, 931, 1040, coarse)};
  for (const double z : {936.0, 970.0, 1004.0}) {
    shapes.push_back(moved(cylinder(17, 0, 30, fine), shift(0, 0, z)));
  }
  return joined(shapes);
}

/// Origin on the floor; finished boards rest 750 up on two ribs each, between four angles.
Shape outfeed_grid() {
  std::vector<Shape> shapes = stand(235, 330, 727);
  const Outline angle = {{3, 3}, {3, -27}, {7, -27}, {7, 7}, {-27, 7}, {-27, 3}};
  const Shape nest =
      extrude(rounded(rectangle({-133, -93}, {133, 93}), 12, 6),
              {rounded(rectangle({-60, -50}, {-25, 50}), 14, 3), rounded(rectangle({-17, -50}, {17, 50}), 14, 3),
               rounded(rectangle({25, -50}, {60, 50}), 14, 3)},
              726, 740);
  for (const Vector2d& place : places()) {
    auto put = [&](const Shape& shape, double x, double y, double degrees) {
      shapes.push_back(moved(shape, shift(place.x() + x, place.y() + y, 0) * turn(degrees, Vector3d::UnitZ())));
    };
    put(nest, 0, 0, 0);
    const Outline rib = {{-6, 739}, {6, 739}, {4, 750}, {-4, 750}};
    for (const double x : {-76.0, 76.0}) put(extrude_along_y(rounded(rib, 1, 1), {}, -60, 60), x, 0, 0);
    put(extrude(rounded(angle, 1.5, 1), 739, 758), board_x, board_y, 0);
    put(extrude(rounded(angle, 1.5, 1), 739, 758), -board_x, board_y, 90);
    put(extrude(rounded(angle, 1.5, 1), 739, 758), -board_x, -board_y, 180);
    put(extrude(rounded(angle, 1.5, 1), 739, 758), board_x, -board_y, 270);
  }
  return joined(shapes);
}

/// Origin on the floor; the arm stands 600 up.
Shape pedestal() {
  const Outline gusset = {{60, 24}, {190, 24}, {95, 330}, {60, 330}};
  std::vector<Shape> shapes = {
      extrude(rounded(rectangle({-230, -230}, {230, 230}), 30, 8), hole_circle(280, 11, 4, 24, 0.7853981634), 0, 25),
      extrude(rounded(rectangle({-85, -85}, {85, 85}), 14, 8), {rounded(rectangle({-75, -75}, {75, 75}), 6, 6)}, 24,
              581),
      extrude(rounded(rectangle({-130, -130}, {130, 130}), 25, 8), 580, 600)};
  for (const double degrees : {0.0, 90.0, 180.0, 270.0}) {
    shapes.push_back(moved(extrude_along_y(gusset, {}, -7, 7), turn(degrees, Vector3d::UnitZ())));
  }
  return joined(shapes);
}

}  // namespace

std::vector<NamedShape> surroundings_shapes() {
  return {{"pedestal.stl", pedestal()},
          {"rack.stl", rack()},
          {"signal-post.stl", signal_post()},
          {"outfeed-grid.stl", outfeed_grid()}};
}

}  // namespace cellproof::models::board_cell
