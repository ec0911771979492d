// SPDX-License-Identifier: GPL-3.0-or-later
// The space that a camera looks through, against elementary volumes.
#include "scene/cutting/view_solid.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "scene/sight/camera_model.hpp"

using namespace cellproof;

namespace {

/// 640 x 480 pixels, a pixel of 1/600 at z = 1.
Camera plain_camera() {
  Camera camera;
  camera.width = 640;
  camera.height = 480;
  camera.fx = camera.fy = 600;
  camera.cx = 319.5;
  camera.cy = 239.5;
  camera.near_mm = 50;
  camera.far_mm = 300;
  return camera;
}

bool holds(const ConvexSolid& solid, const Vector3d& point, double room) {
  for (const HalfSpace& space : half_spaces(solid))
    if (space.normal.dot(point) > space.offset + room) return false;
  return true;
}

double volume_of(const std::optional<ConvexSolid>& solid) {
  REQUIRE(solid);
  return solid_properties(mesh_of(*solid)).volume;
}

}  // namespace

TEST_CASE("without a lens radius the view is the pyramid over the picture at the far end of the range") {
  // 300 * 640/600 by 300 * 480/600 by 300, a third of it (elementary)
  const auto view = view_of_frame(plain_camera(), 0);
  CHECK(volume_of(view) == Approx(320.0 * 240 * 300 / 3).epsilon(1e-13));
  CHECK(view->points.size() == 5);
  CHECK(view->faces.size() == 5);
}

TEST_CASE("a margin grows the outline at the far end to all sides") {
  CHECK(volume_of(view_of_frame(plain_camera(), 10)) == Approx(340.0 * 260 * 300 / 3).epsilon(1e-13));
  const Pose target(Eigen::Translation3d(30, 0, 200));
  CHECK(volume_of(view_of_target(plain_camera(), target, {40, 20}, 0)) == Approx(40.0 * 20 * 200 / 3).epsilon(1e-13));
  CHECK(volume_of(view_of_target(plain_camera(), target, {40, 20}, 3)) == Approx(46.0 * 26 * 200 / 3).epsilon(1e-13));
}

TEST_CASE("the front of the lens begins the view") {
  Camera camera = plain_camera();
  camera.front = 30;
  CHECK(volume_of(view_of_frame(camera, 0)) == Approx(320.0 * 240 * 270 / 3).epsilon(1e-13));
  CHECK(view_beside_lens(camera) == Approx(30 * std::hypot(320.0, 240.0) / 600).epsilon(1e-12));
  camera.lens_radius = 25;
  CHECK(view_beside_lens(camera) == 0);
}

TEST_CASE("the view holds every straight line from the lens's round front to the picture") {
  std::mt19937 random(77);
  std::uniform_real_distribution<double> unit(0, 1);
  Camera camera = plain_camera();
  camera.lens_radius = 9;
  camera.front = 4;
  for (const double k1 : {0.0, -0.25, 0.3}) {
    camera.distortion = {k1, 0.02, 0.001, -0.002, 0};
    const auto view = view_of_frame(camera, 0);
    REQUIRE(view);
    for (int i = 0; i < 2000; ++i) {
      const double angle = 2 * pi * unit(random);
      const Vector3d from(9 * std::cos(angle), 9 * std::sin(angle), 4);
      const auto ray = ray_of_pixel(camera, {640 * unit(random) - 0.5, 480 * unit(random) - 0.5});
      REQUIRE(ray);
      const double share = unit(random);
      CHECK(holds(*view, from + share * (300 * *ray - from), 0.02));
    }
  }
}

TEST_CASE("a target edge on to the lens's point encloses no space") {
  Camera camera = plain_camera();
  const Pose edge_on = Pose(Eigen::Translation3d(0, 0, 200) * Eigen::AngleAxisd(pi / 2, Vector3d::UnitX()));
  CHECK_FALSE(view_of_target(camera, edge_on, {40, 20}, 0));
  camera.lens_radius = 5;
  CHECK(view_of_target(camera, edge_on, {40, 20}, 0));
}
