// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/camera_model.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "tests/support/lookout.hpp"

using namespace cellproof;
using test::camera_60_degrees;

namespace {

Camera distorting(std::array<double, 5> distortion) {
  Camera camera = camera_60_degrees();
  camera.distortion = distortion;
  return camera;
}

}  // namespace

TEST_CASE("A point on the axis falls onto the principal point") {
  const Camera camera = camera_60_degrees();
  const Vector2d pixel = project(camera, {0, 0, 250}).value();
  CHECK(pixel.x() == Approx(639.5).margin(1e-12));  // (1280 − 1)/2
  CHECK(pixel.y() == Approx(479.5).margin(1e-12));
}

TEST_CASE("Half the view angle to the right is the picture's right edge") {
  const Camera camera = camera_60_degrees();
  const Vector2d edge = project(camera, {std::tan(radians(30)) * 400, 0, 400}).value();
  CHECK(edge.x() == Approx(1279.5).margin(1e-9));
  CHECK(in_picture(camera, {1279.5, 0}));
  CHECK_FALSE(in_picture(camera, {1279.5001, 0}));
  CHECK(in_picture(camera, {-0.5, -0.5}));
  CHECK_FALSE(in_picture(camera, {0, -0.5001}));
}

TEST_CASE("All five distortion coefficients act as in the published formula") {
  Camera camera = camera_60_degrees();
  camera.fx = 900, camera.fy = 910, camera.cx = 640, camera.cy = 480;
  camera.distortion = {-0.2, 0.05, 0.001, -0.002, 0.01};
  const Vector2d pixel = project(camera, {200, -150, 500}).value();
  CHECK(pixel.x() == Approx(981.93925).margin(1e-8));  // derived: the formula of OpenCV's calib3d, worked by hand
  CHECK(pixel.y() == Approx(220.58231875).margin(1e-8));
}

TEST_CASE("What is not in front is not in the picture") {
  const Camera camera = camera_60_degrees();
  CHECK_FALSE(project(camera, {0, 0, 0}));
  CHECK_FALSE(project(camera, {1, 1, -100}));
  CHECK_FALSE(project(camera, {1, 1, std::numeric_limits<double>::quiet_NaN()}));
}

TEST_CASE("A pixel's ray comes back to the pixel") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> unit(0, 1);
  for (const auto& distortion :
       {std::array<double, 5>{}, std::array<double, 5>{-0.25, 0.08, 0.001, -0.0015, 0},
        std::array<double, 5>{0.3, -0.1, -0.002, 0.001, 0.05}, std::array<double, 5>{-0.32, 0.12, 0, 0, -0.02}}) {
    const Camera camera = distorting(distortion);
    for (int i = 0; i < 500; ++i) {
      const Vector2d pixel(unit(random) * 1280 - 0.5, unit(random) * 960 - 0.5);
      const auto ray = ray_of_pixel(camera, pixel);
      REQUIRE(ray);
      CHECK(ray->z() == 1);
      CHECK((project(camera, *ray * 377).value() - pixel).norm() < 1e-8);
    }
  }
}

TEST_CASE("The derivative of the projection agrees with differences") {
  const Camera camera = distorting({-0.25, 0.08, 0.01, -0.02, 0.03});
  const Vector3d point(90, -60, 300);
  const auto derivative = projection_derivative(camera, point).value();
  for (int axis = 0; axis < 3; ++axis) {
    const Vector3d step = 1e-4 * Vector3d::Unit(axis);
    const Vector2d difference = (*project(camera, point + step) - *project(camera, point - step)) / 2e-4;
    CHECK((derivative.col(axis) - difference).norm() < 1e-6);
  }
}

TEST_CASE("Where the formula folds back, nothing is seen") {
  // r (1 − 0.8 r²) grows up to r² = 1/2.4, where it is 0.430331, and falls to zero at r² = 1.25 (derived).
  const Camera camera = distorting({-0.8, 0, 0, 0, 0});
  CHECK(project(camera, {0.64, 0, 1}));
  CHECK_FALSE(project(camera, {0.65, 0, 1}));
  // Far outside the view, and yet the bare formula puts it onto the middle of the picture.
  CHECK_FALSE(project(camera, {std::sqrt(1.25), 0, 1}));
  CHECK(ray_of_pixel(camera, {camera.cx + 0.4303 * camera.fx, camera.cy}));
  CHECK_FALSE(ray_of_pixel(camera, {camera.cx + 0.4304 * camera.fx, camera.cy}));
}

TEST_CASE("The frustum is a closed mesh with the volume of its cut pyramid") {
  const Camera camera = camera_60_degrees();
  const Mesh frustum = view_frustum(camera);
  CHECK(closedness(frustum).closed);
  // Derived: a pyramid's volume, area at distance z is (W/fx)(H/fy) z².
  const double per_square = (1280 / camera.fx) * (960 / camera.fy);
  CHECK(solid_properties(frustum).volume == Approx(per_square * (900. * 900 * 900 - 50. * 50 * 50) / 3).epsilon(1e-9));
}
