// SPDX-License-Identifier: GPL-3.0-or-later
// The arm, drawn as it stands at joint values 0: upper arm upright, forearm level along x. Each link is then put into
// its own frame, which at 0 stands where the cell file's table says.
#include <cmath>
#include <numbers>

#include "models/arm_parts.hpp"
#include "models/flange_cell.hpp"

namespace cellproof::models::flange_cell {
namespace {

constexpr int fine = 64, coarse = 48, fillet = 3;
constexpr double shoulder_x = 120, shoulder_z = 430, elbow_z = 990, forearm_z = 1100, wrist_x = 730, flange_x = 825;

/// The hull of two circles, one above the other in (x, z).
Outline two_circles(double x, double low_z, double low_radius, double high_z, double high_radius, int steps) {
  const double lean = std::asin((low_radius - high_radius) / (high_z - low_z));
  Outline outline;
  auto arc = [&](double z, double radius, double from, double to) {
    for (int k = 0; k <= steps; ++k) {
      const double angle = from + (to - from) * k / steps;
      outline.emplace_back(x + radius * std::cos(angle), z + radius * std::sin(angle));
    }
  };
  constexpr double half_turn = std::numbers::pi;
  arc(low_z, low_radius, -half_turn - lean, lean);
  arc(high_z, high_radius, lean, half_turn - lean);
  return outline;
}

Shape base() {
  const Outline plate = rounded(rectangle({-170, -170}, {170, 170}), 40, 8);
  std::vector<Outline> bolts;
  for (const double x : {-140.0, 140.0}) {
    for (const double y : {-140.0, 140.0}) bolts.push_back(circle({x, y}, 9, 20));
  }
  return joined({extrude(plate, bolts, 0, 22),
                 revolve(rounded({{0, 21}, {140, 21}, {140, 60}, {118, 110}, {118, 174}, {0, 174}}, 12, fillet), fine),
                 box({-190, -60, 40}, {-110, 60, 130})});
}

Shape turret() {
  const Outline web = rounded({{-105, 225}, {100, 225}, {205, 390}, {200, 470}, {60, 520}, {-70, 420}}, 45, 8);
  return joined({rounded_drum(126, 180, 300, 14), extrude_along_y(web, {}, -88, 40),
                 about_y(rounded_drum(102, -112, 42, 8), shoulder_x, shoulder_z),
                 about_y(rounded_drum(62, -190, -111, 10), shoulder_x, shoulder_z),
                 moved(rounded_drum(58, 299, 420, 10), shift(-60, -10, 0))});
}

Shape upper_arm() {
  const Outline window = rounded({{85, 590}, {155, 590}, {148, 850}, {92, 850}}, 30, 8);
  const double outer = 122;
  return joined({extrude_along_y(two_circles(shoulder_x, shoulder_z, 105, elbow_z, 86, 32), {window}, 47, outer),
                 about_y(rounded_drum(78, outer - 1, 140, 6), shoulder_x, shoulder_z),
                 about_y(rounded_drum(62, outer - 1, 136, 6), shoulder_x, elbow_z)});
}

Shape elbow() {
  const Outline casing = rounded({{45, 940}, {180, 930}, {318, 1030}, {318, 1170}, {55, 1170}, {25, 1110}}, 35, 8);
  return joined({about_y(rounded_drum(84, -98, 42, 8), shoulder_x, elbow_z), extrude_along_y(casing, {}, -72, 42),
                 about_y(rounded_drum(52, -170, -97, 8), shoulder_x, elbow_z),
                 about_x(rounded_drum(46, -70, 40, 8), forearm_z), about_x(rounded_drum(71, 216, 326, 8), forearm_z)});
}

Shape forearm() {
  const Outline casing = rounded({{0, 330}, {68, 330}, {68, 400}, {54, 560}, {54, 650}, {0, 650}}, 10, fillet);
  const Outline tine = rounded({{600, 1062}, {wrist_x + 44, 1056}, {wrist_x + 44, 1144}, {600, 1138}}, 40, 10);
  return joined({about_x(revolve(casing, fine), forearm_z), extrude_along_y(tine, {}, 44, 62),
                 extrude_along_y(tine, {}, -62, -44), about_y(rounded_drum(34, 61, 72, 4), wrist_x, forearm_z),
                 about_y(rounded_drum(34, -72, -61, 4), wrist_x, forearm_z)});
}

Shape wrist() {
  return joined({about_y(rounded_drum(41, -40, 40, 6), wrist_x, forearm_z),
                 about_x(rounded_drum(38, wrist_x + 10, flange_x - 24, 5), forearm_z)});
}

Shape flange() {
  std::vector<Outline> holes = hole_circle(25, 3.2, 8, 16);
  holes.push_back(circle({0, 0}, 12, 32));
  return about_x(extrude(circle({0, 0}, 40, coarse), holes, flange_x - 21, flange_x), forearm_z);
}

}  // namespace

std::vector<NamedShape> arm_shapes() {
  const Vector3d forward = Vector3d::UnitX(), left = Vector3d::UnitY(), up = Vector3d::UnitZ();
  const Vector3d shoulder(shoulder_x, 0, shoulder_z), above_elbow(shoulder_x, 0, forearm_z);
  const Vector3d elbow_axis(shoulder_x, 0, elbow_z), wrist_centre(wrist_x, 0, forearm_z), face(flange_x, 0, forearm_z);
  auto in = [](const Pose& link, const Shape& shape) { return moved(shape, link.inverse()); };
  return {{"arm-base.stl", base()},
          {"arm-link1.stl", in(frame(shoulder, forward, left), turret())},
          {"arm-link2.stl", in(frame(elbow_axis, up, left), upper_arm())},
          {"arm-link3.stl", in(frame(above_elbow, up, forward), elbow())},
          {"arm-link4.stl", in(frame(wrist_centre, up, left), forearm())},
          {"arm-link5.stl", in(frame(wrist_centre, up, forward), wrist())},
          {"arm-link6.stl", in(frame(face, up, forward), flange())}};
}

}  // namespace cellproof::models::flange_cell
