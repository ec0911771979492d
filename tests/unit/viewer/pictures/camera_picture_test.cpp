// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/camera_picture.hpp"

#include <catch2/catch.hpp>

#include "tests/support/lookout.hpp"
#include "viewer/pictures/palette.hpp"

using namespace cellproof;
using test::at;
using test::body;

namespace {

Vector3d rgb(std::uint32_t pixel) {
  return Vector3d(static_cast<double>(pixel >> 16 & 255), static_cast<double>(pixel >> 8 & 255),
                  static_cast<double>(pixel & 255)) /
         255;
}

}  // namespace

TEST_CASE("A camera's picture has the camera's pixels and a caption below") {
  // Given a plate in hand over the picture's right half, before a wall
  const test::Look look(test::lookout(test::camera_60_degrees(320, 240), {},
                                      {body("gripper", BoxShape{{400, 600, 1}}, at(200, 0, 300), "flange"),
                                       body("wall", BoxShape{{3000, 3000, 1}}, at(0, 0, 800))}));
  CameraPictureRequest request;
  request.view = look.request;
  request.measured = measure_view(look.scene, look.request);

  const Image image = render_camera_picture(look.scene, request);

  CHECK(image.width == 320);
  CHECK(image.height > 240);
  // then the wall is grey on the left, the gripper reddish on the right, its rim drawn along the middle column
  const Vector3d left = rgb(image.at(40, 60)), right = rgb(image.at(280, 60));
  CHECK(left.maxCoeff() - left.minCoeff() < 0.1);
  CHECK(right.x() > right.z() + 0.15);
  CHECK(rgb(image.at(158, 30)).isApprox(left, 0.05));
  CHECK(image.at(161, 30) == packed(palette::marked));
  CHECK(rgb(image.at(165, 30)).isApprox(right, 0.05));
}

TEST_CASE("A target's outline lies where the lens puts it") {
  Camera camera = test::camera_60_degrees(320, 240);
  camera.distortion = {-0.25, 0.05, 0, 0, 0};
  const test::Look look(test::lookout(camera, {test::facing_target({60, 40, 400}, 80, 60)}, {}));
  CameraPictureRequest request;
  request.view = look.request;
  request.measured = measure_view(look.scene, look.request);
  const Image image = render_camera_picture(look.scene, request);
  const Vector2d corner = project(camera, {20, 10, 400}).value();
  const auto column = static_cast<int>(std::lround(corner.x())), row = static_cast<int>(std::lround(corner.y()));
  CHECK(rgb(image.at(column, row)).norm() < 0.9);          // dark on paper
  CHECK(rgb(image.at(column - 6, row - 6)).norm() > 1.5);  // outside of it
}
