// SPDX-License-Identifier: GPL-3.0-or-later
// The portal mill: the table comes to the door, the spindle head hangs on a beam across it.
#include <array>

#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr int fine = 40, coarse = 16, fillet = 2;

/// Origin on the floor, under the doorway in the wall that looks at the arm; the mill extends along x.
Shape enclosure() {
  const Outline doorway = rounded(rectangle({-300, 850}, {300, 1500}), 30, 8);
  const Outline side = {{1, 60}, {1049, 60}, {1049, 1950}, {330, 1950}, {1, 1640}};
  const Outline window = rounded({{260, 900}, {820, 900}, {820, 1700}, {420, 1700}, {260, 1540}}, 45, 8);
  const Outline shoulder = {{0, 1641}, {22, 1622}, {351, 1932}, {330, 1952}};
  std::vector<Shape> shapes = {extrude_along_x(rectangle({-450, 60}, {1010, 1640}), {doorway}, 0, 25),
                               extrude_along_x(rectangle({-450, 60}, {1010, 1949}), {}, 1050, 1075),
                               extrude_along_y(side, {window}, -449, -425),
                               extrude_along_y(side, {}, 985, 1009),
                               extrude_along_y(shoulder, {}, -424, 984),
                               box({340, -424, 1925}, {1048, 984, 1948}),
                               box({26, -424, 62}, {1048, 984, 90})};
  for (const double x : {90.0, 980.0}) {
    for (const double y : {-360.0, 920.0}) {
      shapes.push_back(
          moved(revolve(rounded({{0, 0}, {55, 0}, {55, 16}, {22, 22}, {22, 63}, {0, 63}}, 3, fillet), coarse),
                shift(x, y, 0)));
    }
  }
  return joined(shapes);
}

/// In the enclosure's frame: two rails and the doorway's seal between them.
Shape door_rails() {
  const Outline seal = rounded(rectangle({-318, 832}, {318, 1518}), 36, 12);
  const Outline opening = rounded(rectangle({-306, 844}, {306, 1506}), 30, 12);
  const Outline lower = {{-46, 780}, {-2, 780}, {-2, 826}, {-12, 826}, {-12, 796}, {-38, 796}, {-38, 814}, {-46, 814}};
  const Outline upper = {{-46, 1570}, {-46, 1536}, {-38, 1536}, {-38, 1554},
                         {-12, 1554}, {-12, 1524}, {-2, 1524},  {-2, 1570}};
  std::vector<Shape> shapes = {extrude_along_x(seal, {opening}, -8, -1), extrude_along_y(lower, {}, -340, 1000),
                               extrude_along_y(upper, {}, -340, 1000)};
  for (const double y : {-347.0, 1001.0}) {
    for (const double z : {803.0, 1547.0}) shapes.push_back(box({-48, y, z - 28}, {-1, y + 6, z + 28}));
  }
  return joined(shapes);
}

/// In the enclosure's frame, shut: a panel with a window, a grip and four rollers in the rails.
Shape side_door() {
  const Outline panel = rounded(rectangle({-325, 822}, {325, 1528}), 18, 6);
  const Outline window = rounded(rectangle({-190, 1020}, {230, 1420}), 50, 10);
  const Outline pane = rounded(rectangle({-198, 1012}, {238, 1428}), 55, 10);
  std::vector<Shape> shapes = {extrude_along_x(panel, {window}, -34, -14), extrude_along_x(pane, {}, -26, -22),
                               moved(cylinder(11, 0, 220, coarse), shift(-76, -270, 1080)),
                               box({-77, -275, 1094}, {-33, -265, 1106}), box({-77, -275, 1274}, {-33, -265, 1286})};
  const Shape roller =
      revolve(rounded({{0, -33}, {13, -33}, {13, -28}, {10, -25}, {13, -22}, {13, -17}, {0, -17}}, 1, 2), coarse);
  for (const double y : {-250.0, 250.0}) {
    for (const double z : {810.0, 1540.0}) shapes.push_back(moved(roller, shift(0, y, z) * z_to_x()));
  }
  return joined(shapes);
}

/// Origin on the floor under the portal's middle; the table runs along x towards the door on two rails.
Shape bed() {
  const Outline casting = {{-290, 91}, {290, 91},   {330, 130},  {330, 560},
                           {300, 640}, {-300, 640}, {-330, 560}, {-330, 130}};
  const Outline rail = {{-17, 639}, {17, 639},  {17, 655},  {11, 662},  {17, 670},
                        {17, 676},  {-17, 676}, {-17, 670}, {-11, 662}, {-17, 655}};
  std::vector<Shape> shapes = {extrude_along_x(rounded(casting, 25, 8), {}, -480, 300)};
  for (const double y : {-190.0, 190.0}) {
    shapes.push_back(moved(extrude_along_x(rounded(rail, 1.5, 2), {}, -470, 290), shift(0, y, 0)));
  }
  shapes.push_back(moved(cylinder(16, -468, 288, coarse), shift(0, 0, 664) * z_to_x()));
  return joined(shapes);
}

/// Origin as the bed's: two columns, a beam across and the beam's rails.
Shape portal() {
  const Outline arch = {{-412, 91}, {-335, 91},  {-335, 1290}, {335, 1290},  {335, 91},
                        {412, 91},  {412, 1560}, {360, 1620},  {-360, 1620}, {-412, 1560}};
  std::vector<Shape> shapes = {extrude_along_x(rounded(arch, 22, 8), {}, 20, 220)};
  for (const double z : {1340.0, 1520.0}) {
    const Outline rail = {{-14, z - 17}, {-8, z - 17}, {-2, z - 11}, {21, z - 17},
                          {21, z + 17},  {-2, z + 11}, {-8, z + 17}, {-14, z + 17}};
    shapes.push_back(extrude_along_y(rounded(rail, 1.5, 2), {}, -380, 380));
  }
  shapes.push_back(moved(cylinder(14, -370, 370, coarse), shift(0, 0, 1430) * z_to_y()));
  return joined(shapes);
}

/// Origin on the spindle's axis at its nose, z up; the slide behind it, along x, runs on the beam.
Shape spindle_head() {
  const Outline spindle = rounded(
      {{0, 0}, {22, 0}, {22, 20}, {40, 26}, {40, 60}, {52, 66}, {52, 250}, {46, 262}, {46, 340}, {0, 340}}, 3, fillet);
  const Outline clamp = rounded(rectangle({-62, -70}, {66, 70}), 16, 8);
  const Outline slide = rounded(rectangle({61, -95}, {74, 95}), 6, 6);
  std::vector<Shape> shapes = {
      revolve(spindle, fine),
      extrude(clamp, 96, 146),
      extrude(clamp, 186, 236),
      extrude(slide, 30, 420),
      tube(44, 30, 339, 400, fine),
      revolve(rounded({{0, -42}, {4, -42}, {4, -12}, {11, -10}, {11, 2}, {0, 2}}, 1, fillet), coarse)};
  return joined(shapes);
}

/// Origin in the middle of its top; slots along y, the carriages below.
Shape table() {
  Outline profile = {{-230, -60}, {230, -60}, {230, 0}};
  for (const double x : {180.0, 90.0, 0.0, -90.0, -180.0}) {
    for (const Vector2d& corner : {Vector2d(7, 0), Vector2d(7, -14), Vector2d(13, -14), Vector2d(13, -24),
                                   Vector2d(-13, -24), Vector2d(-13, -14), Vector2d(-7, -14), Vector2d(-7, 0)}) {
      profile.emplace_back(x + corner.x(), corner.y());
    }
  }
  profile.emplace_back(-230, 0);
  std::vector<Shape> shapes = {extrude_along_y(profile, {}, -240, 240), box({-200, -120, -140}, {200, 120, -59})};
  for (const double x : {-160.0, 160.0}) {
    for (const double y : {-190.0, 190.0}) shapes.push_back(box({x - 50, y - 42, -158}, {x + 50, y + 42, -59}));
  }
  return joined(shapes);
}

/// A ring of constant width inside an outline, rounded as it is.
Shape cord(const Vector2d& low, const Vector2d& high, double radius, double from, double to) {
  const Vector2d width(4, 4);
  return extrude(rounded(rectangle(low, high), radius, 6),
                 {rounded(rectangle(low + width, high - width), radius - 4, 6)}, from, to);
}

/// Origin in the middle of its foot; boards rest 52 up. Three fields, each in its own groove with a seal cord; between
/// and beside them channels for the mill's tool; rests and locating pins.
Shape vacuum_plate() {
  const std::array<std::array<double, 2>, 3> fields = {{{-83, -41}, {-11, 11}, {41, 83}}};
  std::vector<Outline> recesses;
  std::vector<Shape> shapes = {extrude(rounded(rectangle({-155, -110}, {155, 110}), 14, 8), 0, 20),
                               extrude(rounded(rectangle({-140, -100}, {140, 100}), 12, 8), 19, 44)};
  for (const auto& [from, to] : fields) {
    const Vector2d low(from - 6, -66), high(to + 6, 66), groove(6, 6);
    recesses.push_back(rounded(rectangle(low, high), 10, 6));
    const Outline island = rounded(rectangle(low + groove, high - groove), 5, 6);
    shapes.push_back(extrude(island, {circle({(from + to) / 2, 0}, 4, 24)}, 43, 50));
    shapes.push_back(cord(low + Vector2d(1, 1), high - Vector2d(1, 1), 9, 43, 52));
  }
  for (const double x : {-97.0, -26.0, 26.0, 97.0}) {
    recesses.push_back(rounded(rectangle({x - 6, -58}, {x + 6, 58}), 4, 6));
  }
  shapes.push_back(extrude(rounded(rectangle({-139, -99}, {139, 99}), 11, 8), recesses, 43, 50));
  for (const double x : {-110.0, 110.0}) {
    for (const double y : {-67.0, 67.0}) shapes.push_back(moved(cylinder(4, 49, 52, coarse), shift(x, y, 0)));
  }
  const Shape pin = revolve(rounded({{0, 40}, {5, 40}, {5, 56}, {2, 60}, {0, 60}}, 0.5, 2), coarse);
  for (const Vector2d& at : {Vector2d(-70, -83), Vector2d(70, -83), Vector2d(123, 0)}) {
    shapes.push_back(moved(pin, shift(at.x(), at.y(), 0)));
  }
  return joined(shapes);
}

/// Origin on its axis at its lower face: a disc of tools on a post beside the portal.
Shape tool_carousel() {
  std::vector<Shape> shapes = {
      revolve(rounded({{0, 0}, {110, 0}, {118, 8}, {118, 20}, {0, 20}}, 3, fillet), fine),
      revolve(rounded({{0, -1059}, {70, -1059}, {70, -1040}, {34, -1020}, {34, 80}, {0, 80}}, 8, fillet), coarse)};
  const Shape tool = revolve(Outline{{0, -40}, {5, -40}, {5, -14}, {16, -10}, {16, 26}, {0, 26}}, coarse);
  for (const Outline& place : hole_circle(88, 1, 8, 8)) {
    const Vector2d at = (place[0] + place[4]) / 2;
    shapes.push_back(moved(tool, shift(at.x(), at.y(), 0)));
  }
  return joined(shapes);
}

}  // namespace

std::vector<NamedShape> mill_shapes() {
  return {{"enclosure.stl", enclosure()},
          {"door-rails.stl", door_rails()},
          {"side-door.stl", side_door()},
          {"bed.stl", bed()},
          {"portal.stl", portal()},
          {"spindle-head.stl", spindle_head()},
          {"table.stl", table()},
          {"vacuum-plate.stl", vacuum_plate()},
          {"tool-carousel.stl", tool_carousel()}};
}

}  // namespace cellproof::models::board_cell
