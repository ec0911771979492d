// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/bar_cell.hpp"

namespace cellproof::models::bar_cell {
namespace {

constexpr int fine = 64, coarse = 32, fillet = 3;

// ---- the vise: its bar lies along x, the fixed jaw stands at y = 16 ----

/// Origin in the middle of its foot; the bar rests 150 up, the fixed jaw is 12 higher.
Shape vise() {
  const Outline bed = {{-120, 0}, {120, 0}, {120, 30}, {60, 45}, {60, 150}, {-100, 150}, {-100, 45}, {-120, 30}};
  const Outline jaw = {{16, 149}, {58, 149}, {58, 156}, {52, 162}, {16, 162}};
  return joined({extrude_along_x(bed, {}, -75, 75), extrude_along_x(jaw, {}, -55, 55),
                 moved(cylinder(14, -60, 0, coarse), shift(0, -100, 90) * z_to_y())});
}

/// In the vise's frame, closed on 28; it runs on the bed with 0.5 of play.
Shape moving_jaw() {
  return extrude_along_x({{-54, 150.5}, {-12, 150.5}, {-12, 162}, {-48, 162}, {-54, 156}}, {}, -55, 55);
}

// ---- the drawer ----

/// Origin on the floor under the middle of the drawer, pulled out of its cabinet along -y; bars lie on its floor, 762
/// up.
Shape drawer() {
  const Outline rim = rounded(rectangle({-190, -200}, {190, 200}), 10, 6);
  const Outline inside = rounded(rectangle({-182, -192}, {182, 192}), 6, 6);
  return joined({extrude(rim, 750, 762), extrude(rim, {inside}, 761.5, 790), box({-150, -212, 765}, {150, -201, 785})});
}

/// In the drawer's frame: the cabinet under it.
Shape cabinet() {
  return joined({extrude(rounded(rectangle({-210, -190}, {210, 330}), 15, 6), 60, 735),
                 box({-200, -180, 0}, {-150, -130, 60}), box({150, -180, 0}, {200, -130, 60}),
                 box({-200, 270, 0}, {-150, 320, 60}), box({150, 270, 0}, {200, 320, 60})});
}

// ---- the turning station: a cradle that turns about x ----

/// Origin on the axis; the foot is 900 below.
Shape turning_stand() {
  return joined({box({-260, -60, -900}, {-140, 60, -880}), box({-230, -40, -881}, {-170, 40, -50}),
                 extrude_along_x(rounded(rectangle({-50, -50}, {50, 50}), 20, 6), {}, -250, -150)});
}

/// In the axis's frame: a fork open to -y, its fixed cheek at x = -60.
Shape cradle() {
  return joined({moved(cylinder(18, -148, -80, coarse), z_to_x()), box({-81, -20, -13}, {-60, 58, 13}),
                 box({-80, 57, -10}, {118, 75, 10}), box({100, -20, -13}, {118, 58, 13})});
}

/// The same: the clamp's plunger, closed on a length of 120.
Shape clamp() {
  return moved(joined({cylinder(11, 60, 70, coarse), cylinder(6, 69.5, 78, coarse)}), z_to_x());
}

// ---- the chute ----

/// Origin on the edge of its lip, from where it slopes down along y.
Shape chute() {
  const Outline floor = {{-50, -6}, {0, -6}, {300, -151}, {300, -144}, {0, 0}, {-50, 0}};
  const Outline cheek = {{20, -16}, {300, -151}, {300, -104}, {20, 30}};
  return joined({extrude_along_x(floor, {}, -90, 90), extrude_along_x(cheek, {}, -96, -89),
                 extrude_along_x(cheek, {}, 89, 96), box({-30, -45, -800}, {30, -15, -5})});
}

// ---- fingers and bars ----

/// The finger on the +x side, closed with its pad at x = `pad`; the pad is 18 long beyond the tool centre point.
Shape finger(double pad) {
  const Outline side = {{28, 87},        {60, 87},   {60, 112},  {pad + 18, 150},
                        {pad + 16, 188}, {pad, 188}, {pad, 152}, {28, 130}};
  return extrude_along_y(rounded(side, 1.5, 6), {}, -16, 16);
}

Shape bar(const Outline& across) {
  return extrude_along_x(across, {}, -60, 60);
}

}  // namespace

std::vector<NamedShape> surroundings_shapes() {
  return {{"vise.stl", vise()},
          {"moving-jaw.stl", moving_jaw()},
          {"drawer.stl", drawer()},
          {"cabinet.stl", cabinet()},
          {"turning-stand.stl", turning_stand()},
          {"cradle.stl", cradle()},
          {"clamp.stl", clamp()},
          {"chute.stl", chute()}};
}

std::vector<NamedShape> finger_shapes() {
  return {{"finger-40.stl", finger(20)}, {"finger-28.stl", finger(14)}};
}

std::vector<NamedShape> bar_shapes() {
  return {{"raw-bar.stl", bar({{-16, 0}, {16, 0}, {16, 40}, {-16, 40}})},
          {"half-bar.stl", bar({{-16, 0}, {16, 0}, {16, 16}, {14, 16}, {14, 37}, {-14, 37}, {-14, 16}, {-16, 16}})},
          {"done-bar.stl", bar({{-14, 3}, {14, 3}, {14, 37}, {-14, 37}})}};
}

}  // namespace cellproof::models::bar_cell
