// SPDX-License-Identifier: GPL-3.0-or-later
// The camera against elementary optics.
#include <catch2/catch.hpp>

#include "tests/support/lookout.hpp"

using namespace cellproof;

namespace {

/// f 12 mm, sensor 8.8 × 6.6 mm, focused at 400 mm; fx as the cell file's rules make it from the image distance.
Camera lens_12_at_400() {
  Camera camera = test::camera_60_degrees(1280, 960);
  camera.focal_length = 12;
  camera.focus = Focus{400, 4, 3.45e-3};
  camera.fx = camera.fy = (12.0 * 400 / (400 - 12)) * 1280 / 8.8;
  return camera;
}

}  // namespace

TEST_CASE("The field of a thin lens is sensor (distance − f)/f") {
  const Camera camera = lens_12_at_400();
  const Vector3d left = 400 * ray_of_pixel(camera, {-0.5, -0.5}).value();
  const Vector3d right = 400 * ray_of_pixel(camera, {1279.5, 959.5}).value();
  CHECK(right.x() - left.x() == Approx(284.53).margin(0.005));  // derived: 8.8 · 388/12
  CHECK(right.y() - left.y() == Approx(213.40).margin(0.005));
}

TEST_CASE("Depth of field has the limits of the thin lens") {
  const DepthOfField near_lens = depth_of_field(lens_12_at_400()).value();
  CHECK(near_lens.near_mm == Approx(385.66).margin(0.005));  // derived
  CHECK(near_lens.far_mm == Approx(415.45).margin(0.005));

  Camera longer = lens_12_at_400();
  longer.focal_length = 8;
  longer.focus = Focus{600, 4, 3.45e-3};
  CHECK(depth_of_field(longer)->near_mm == Approx(532.08).margin(0.005));  // derived
  CHECK(depth_of_field(longer)->far_mm == Approx(687.80).margin(0.005));

  longer.focus->distance = 5000;  // beyond the hyperfocal distance of 4645.7 mm
  CHECK(std::isinf(depth_of_field(longer)->far_mm));
}

TEST_CASE("A sphere off the axis hides an ellipse of the known area") {
  // Elementary projection of a sphere (derived): π f² r² √(D² − r²)/(z² − r²)^1.5 on the plane at distance f.
  const double r = 50, z = 250, plane = 400;
  const Vector3d centre(40, -20, z);
  const double area =
      pi * plane * plane * r * r * std::sqrt(centre.squaredNorm() - r * r) / std::pow(z * z - r * r, 1.5);
  const test::Look look(test::lookout(test::camera_60_degrees(), {test::facing_target({66, -33, plane}, 260, 240)},
                                      {test::body("ball", SphereShape{r}, test::at(40, -20, z))}));
  const TargetView view = look.target();
  REQUIRE(view.blocked_by.size() == 1);
  CHECK(view.blocked_by[0].share == Approx(area / (260 * 240)).margin(0.001));
  CHECK(view.in_frame == 1);
  CHECK(view.visible == Approx(1 - area / (260 * 240)).margin(0.001));
}

// The formula as the OpenCV documentation (calib3d) prints it, from memory, with k1 k2 p1 p2 k3 in that order:
//   x'' = x' (1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x' y' + p2 (r² + 2 x'²)
//   y'' = y' (1 + k1 r² + k2 r⁴ + k3 r⁶) + p1 (r² + 2 y'²) + 2 p2 x' y',   u = fx x'' + cx, v = fy y'' + cy
// turned about numerically by fixed-point iteration in long double, which shares nothing with the camera model's
// Newton.
TEST_CASE("A distorted pixel's ray is that of a numerical inversion of the published formula") {
  Camera camera;
  camera.width = 1280;
  camera.height = 960;
  camera.fx = 1100;
  camera.fy = 1090;
  camera.cx = 651;
  camera.cy = 473;
  camera.distortion = {-0.21, 0.07, 0.0011, -0.0008, -0.012};
  const auto [k1, k2, p1, p2, k3] = camera.distortion;
  for (int column = 0; column <= 16; ++column)
    for (int row = 0; row <= 12; ++row) {
      const Vector2d pixel(80.0 * column - 0.5, 80.0 * row - 0.5);
      const long double u = (pixel.x() - 651.0L) / 1100.0L, v = (pixel.y() - 473.0L) / 1090.0L;
      long double x = u, y = v;
      for (int round = 0; round < 400; ++round) {
        const long double r2 = x * x + y * y, radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
        const long double across = 2 * p1 * x * y + p2 * (r2 + 2 * x * x),
                          down = p1 * (r2 + 2 * y * y) + 2 * p2 * x * y;
        x = (u - across) / radial;
        y = (v - down) / radial;
      }
      const auto ray = ray_of_pixel(camera, pixel);
      REQUIRE(ray);
      CHECK(ray->x() == Approx(static_cast<double>(x)).margin(1e-10));
      CHECK(ray->y() == Approx(static_cast<double>(y)).margin(1e-10));
    }
}
