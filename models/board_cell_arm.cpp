// SPDX-License-Identifier: GPL-3.0-or-later
// The arm, drawn as it stands at joint values 0: stretched out level along x, the tool looking along -y. Three of its
// axes are parallel and the wrist is offset, so that the links stand beside each other. Each link is then put into its
// own frame, which at 0 stands where the cell file's table says.
#include "models/arm_parts.hpp"
#include "models/board_cell.hpp"

namespace cellproof::models::board_cell {
namespace {

constexpr int fine = 48, coarse = 40, fillet = 2;
constexpr double shoulder_z = 200, elbow_x = 590, wrist_x = 1110, wrist_y = -150, tool_z = 85, face_y = -250;
constexpr double upper_y = -130, fore_y = -8;  // the planes in which upper arm and forearm swing

/// A drum from z = from to z = to with a seam round it, as where a cap is screwed on.
Shape capped_drum(double radius, double from, double to, double seam) {
  return revolve({{0, from},
                  {radius - 6, from},
                  {radius - 2, from + 2},
                  {radius, from + 6},
                  {radius, seam},
                  {radius - 3, seam + 1.5},
                  {radius - 3, seam + 4.5},
                  {radius, seam + 6},
                  {radius, to - 6},
                  {radius - 2, to - 2},
                  {radius - 6, to},
                  {0, to}},
                 fine);
}

/// A tube along x in the plane y, its radius changing on the way.
Shape tapered_tube(double from, double from_radius, double to, double to_radius, double y) {
  const Outline side = {{0, from}, {from_radius, from}, {to_radius, to}, {0, to}};
  return moved(revolve(rounded(side, 4, fillet), fine), shift(0, y, shoulder_z) * z_to_x());
}

/// Screw heads on a face that looks along y, around the axis through (x, z).
Shape screws(double x, double z, double pitch_radius, double from, double to) {
  std::vector<Shape> heads;
  for (const Outline& head : hole_circle(pitch_radius, 4, 6, 8)) heads.push_back(extrude(head, from, to));
  return about_y(joined(heads), x, z);
}

Shape base() {
  const Outline plate = rounded(rectangle({-115, -115}, {115, 115}), 45, 8);
  std::vector<Outline> bolts;
  for (const double x : {-88.0, 88.0}) {
    for (const double y : {-88.0, 88.0}) bolts.push_back(circle({x, y}, 7, 20));
  }
  return joined({extrude(plate, bolts, 0, 18),
                 revolve(rounded({{0, 17}, {98, 17}, {98, 44}, {86, 66}, {86, 98}, {0, 98}}, 8, fillet), fine),
                 box({-124, -34, 26}, {-80, 34, 74})});
}

Shape turret() {
  return joined({capped_drum(84, 102, 262, 236), about_y(capped_drum(82, -66, 92, 70), 0, shoulder_z),
                 screws(0, shoulder_z, 60, 91, 95)});
}

Shape upper_arm() {
  return joined({about_y(capped_drum(84, -206, -70, -192), 0, shoulder_z),
                 tapered_tube(20, 66, elbow_x - 20, 56, upper_y),
                 about_y(capped_drum(70, -200, -70, -186), elbow_x, shoulder_z), screws(0, shoulder_z, 62, -210, -205),
                 screws(elbow_x, shoulder_z, 50, -204, -199)});
}

Shape forearm() {
  return joined({about_y(capped_drum(68, -67, 56, 42), elbow_x, shoulder_z),
                 tapered_tube(elbow_x + 15, 54, wrist_x - 15, 44, fore_y),
                 about_y(capped_drum(50, -62, 44, 28), wrist_x, shoulder_z), screws(elbow_x, shoulder_z, 48, 55, 59)});
}

Shape first_wrist() {
  return joined(
      {about_y(rounded_drum(48, -140, -65, 5), wrist_x, shoulder_z),
       moved(capped_drum(49, shoulder_z - 58, shoulder_z + 54, shoulder_z + 40), shift(wrist_x, wrist_y, 0))});
}

Shape second_wrist() {
  return joined({moved(rounded_drum(47, tool_z - 12, shoulder_z - 61, 5), shift(wrist_x, wrist_y, 0)),
                 about_y(capped_drum(48, wrist_y - 54, wrist_y + 50, wrist_y + 36), wrist_x, tool_z)});
}

Shape flange() {
  std::vector<Outline> holes = hole_circle(25, 3.2, 4, 16, 0.7853981634);
  holes.push_back(circle({0, 0}, 15.5, 32));
  const Pose on_axis = shift(wrist_x, 0, tool_z) * z_to_y();
  return joined({moved(extrude(circle({0, 0}, 36, coarse), holes, face_y, face_y + 14), on_axis),
                 about_y(rounded_drum(40, face_y + 13, wrist_y - 57, 3), wrist_x, tool_z)});
}

}  // namespace

std::vector<NamedShape> arm_shapes() {
  const Vector3d forward = Vector3d::UnitX(), right = -Vector3d::UnitY(), down = -Vector3d::UnitZ();
  auto in = [&forward](const Vector3d& origin, const Vector3d& z, const Shape& shape) {
    return moved(shape, frame(origin, forward, z).inverse());
  };
  return {{"arm-base.stl", base()},
          {"arm-link1.stl", in({0, 0, shoulder_z}, right, turret())},
          {"arm-link2.stl", in({elbow_x, 0, shoulder_z}, right, upper_arm())},
          {"arm-link3.stl", in({wrist_x, 0, shoulder_z}, right, forearm())},
          {"arm-link4.stl", in({wrist_x, wrist_y, shoulder_z}, down, first_wrist())},
          {"arm-link5.stl", in({wrist_x, wrist_y, tool_z}, right, second_wrist())},
          {"arm-link6.stl", in({wrist_x, face_y, tool_z}, right, flange())}};
}

}  // namespace cellproof::models::board_cell
