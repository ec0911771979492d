// SPDX-License-Identifier: GPL-3.0-or-later
// What stands around the arm.
#include "models/flange_cell.hpp"

namespace cellproof::models::flange_cell {
namespace {

constexpr int fine = 64, coarse = 32, fillet = 3;

/// Origin on the floor, under the middle of the side wall's outer face; the mill extends along x.
Shape enclosure() {
  const Outline door = rectangle({-270, 1034}, {270, 1606});
  const Outline front = rounded(rectangle({220, 820}, {1280, 1760}), 40, 8);
  return joined({extrude_along_x(rectangle({-800, 100}, {800, 2000}), {door}, 0, 30),
                 extrude_along_x(rectangle({-800, 100}, {800, 2000}), {}, 1470, 1500),
                 extrude_along_y(rectangle({31, 100}, {1469, 2000}), {}, 770, 800),
                 extrude_along_y(rectangle({31, 100}, {1469, 2000}), {front}, -800, -770),
                 box({31, -769, 100}, {1469, 769, 160}), moved(cylinder(45, 0, 100, coarse), shift(120, -700, 0)),
                 moved(cylinder(45, 0, 100, coarse), shift(1380, -700, 0)),
                 moved(cylinder(45, 0, 100, coarse), shift(120, 700, 0)),
                 moved(cylinder(45, 0, 100, coarse), shift(1380, 700, 0))});
}

/// In the enclosure's frame: a flange on the wall's outer face and a lip through the wall.
Shape door_frame() {
  const Outline inner = rounded(rectangle({-262, 1042}, {262, 1598}), 25, 12);
  const Outline lip = rounded(rectangle({-269, 1035}, {269, 1605}), 20, 12);
  std::vector<Outline> flange_holes = {inner};
  for (const double z : {1080.0, 1230.0, 1410.0, 1560.0}) {
    flange_holes.push_back(circle({-288, z}, 5, 16));
    flange_holes.push_back(circle({288, z}, 5, 16));
  }
  return joined({extrude_along_x(rounded(rectangle({-310, 990}, {310, 1650}), 30, 12), flange_holes, -18, -1),
                 extrude_along_x(lip, {inner}, -2, 42)});
}

/// In the enclosure's frame, open: slid along y, with its rail above.
Shape side_door() {
  const Outline window = rounded(rectangle({430, 1150}, {790, 1540}), 40, 8);
  return joined({extrude_along_x(rounded(rectangle({330, 1000}, {890, 1640}), 15, 6), {window}, -50, -26),
                 extrude_along_x(rectangle({-320, 1670}, {900, 1710}), {}, -55, -1),
                 moved(cylinder(12, 0, 160, coarse), shift(-70, 370, 1240)), box({-71, 366, 1250}, {-49, 374, 1260}),
                 box({-71, 366, 1380}, {-49, 374, 1390})});
}

/// A T-slot's outline seen along it, from its left lip to its right one, the table's top at z = 0.
void add_slot(Outline& top, double y) {
  for (const Vector2d& corner : {Vector2d(9, 0), Vector2d(9, -18), Vector2d(16, -18), Vector2d(16, -32),
                                 Vector2d(-16, -32), Vector2d(-16, -18), Vector2d(-9, -18), Vector2d(-9, 0)}) {
    top.emplace_back(y + corner.x(), corner.y());
  }
}

/// Origin in the middle of its top; slots along x. Saddle and bed below.
Shape table() {
  Outline profile = {{-210, -80}, {210, -80}, {210, 0}};
  for (const double y : {160.0, 80.0, 0.0, -80.0, -160.0}) add_slot(profile, y);
  profile.emplace_back(-210, 0);
  const Outline saddle = {{-260, -200}, {260, -200}, {260, -140}, {180, -81}, {-180, -81}, {-260, -140}};
  return joined(
      {extrude_along_x(profile, {}, -390, 390), extrude_along_x(rounded(saddle, 12, 6), {}, -280, 280),
       extrude_along_x(rounded({{-330, -699}, {330, -699}, {280, -201}, {-280, -201}}, 20, 6), {}, -330, 330)});
}

/// Origin under the spindle's axis on the floor; the column stands behind, along y.
Shape column() {
  const Outline casting = rounded(rectangle({-280, 440}, {280, 760}), 40, 8);
  const Outline rail = {{-20, 0}, {20, 0}, {20, 14}, {14, 22}, {20, 30}, {-20, 30}, {-14, 22}, {-20, 14}};
  auto rail_at = [&rail](double x) {
    Outline placed;
    for (const Vector2d& point : rail) placed.emplace_back(x - point.x(), 440 - point.y());
    return extrude(placed, 900, 1880);
  };
  return joined({extrude(casting, 161, 1960), rail_at(-190), rail_at(190)});
}

/// Origin on the spindle's axis at the spindle's face, z up.
Shape spindle_head() {
  const Outline nose =
      rounded({{0, 0}, {44, 0}, {44, 18}, {64, 18}, {64, 48}, {92, 70}, {92, 150}, {0, 150}}, 5, fillet);
  const Outline head = rounded({{-150, -130}, {150, -130}, {190, 120}, {190, 405}, {-190, 405}, {-190, 120}}, 45, 8);
  return joined({revolve(nose, fine), extrude(head, 149, 520),
                 revolve(rounded({{0, 519}, {95, 519}, {95, 760}, {0, 760}}, 15, fillet), fine)});
}

/// Origin in the middle of its foot. Work rests on the jaws' steps, 150 up, and is drawn 3 short of the jaws' lips.
Shape chuck() {
  const Outline body = rounded({{30, 0}, {165, 0}, {165, 24}, {128, 24}, {128, 108}, {30, 108}}, 4, fillet);
  const Outline jaw = {{56, 107}, {123, 107}, {123, 140}, {118, 158}, {83, 158}, {83, 150}, {56, 150}};
  std::vector<Shape> shapes = {revolve(body, fine)};
  for (const double angle : {60.0, 180.0, 300.0}) {
    const Pose around = turn(angle, Vector3d::UnitZ());
    shapes.push_back(moved(extrude_along_y(jaw, {}, -17, 17), around));
    shapes.push_back(moved(cylinder(5, 157, 161, 32), around * shift(103, 0, 0)));
  }
  return joined(shapes);
}

/// Origin on the floor; the nest's seat is 815 up. Three pins locate the casting.
Shape infeed_stand() {
  std::vector<Outline> slots;
  for (const double x : {-140.0, 140.0}) {
    for (const double y : {-140.0, 140.0}) slots.push_back(circle({x, y}, 12, 24));
  }
  std::vector<Shape> shapes = {extrude(rounded(rectangle({-220, -220}, {220, 220}), 30, 8), 0, 18),
                               extrude(rounded(rectangle({-60, -60}, {60, 60}), 12, 6), 18, 782),
                               extrude(rounded(rectangle({-190, -190}, {190, 190}), 25, 8), slots, 781, 800),
                               revolve(rounded({{52, 799}, {74, 799}, {74, 815}, {52, 815}}, 2, 4), fine)};
  for (const Outline& pin : hole_circle(90, 6, 3, 24, 0.9)) shapes.push_back(extrude(pin, 799, 823));
  return joined(shapes);
}

/// Origin on the floor; the arm stands 450 up.
Shape pedestal() {
  return joined(
      {extrude(rounded(rectangle({-260, -260}, {260, 260}), 40, 8), hole_circle(310, 11, 4, 24, 0.7853981634), 0, 25),
       revolve(rounded({{0, 24}, {190, 24}, {160, 80}, {160, 380}, {190, 426}, {0, 426}}, 20, fillet), fine),
       extrude(rounded(rectangle({-190, -190}, {190, 190}), 30, 8), 425, 450)});
}

}  // namespace

std::vector<NamedShape> surroundings_shapes() {
  return {{"enclosure.stl", enclosure()}, {"door-frame.stl", door_frame()},
          {"side-door.stl", side_door()}, {"table.stl", table()},
          {"column.stl", column()},       {"spindle-head.stl", spindle_head()},
          {"chuck.stl", chuck()},         {"infeed-stand.stl", infeed_stand()},
          {"pedestal.stl", pedestal()}};
}

}  // namespace cellproof::models::flange_cell
