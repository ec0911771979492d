// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/look_change.hpp"

#include <algorithm>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("Back is along the optical axis, away from what is looked at") {
  const Pose moved = moved_camera({.back_mm = 40}, {0, 0, 300});
  CHECK(moved.isApprox(Pose(Eigen::Translation3d(0, 0, -40)), 1e-15));
}

TEST_CASE("A swing keeps the distance and the place in the picture") {
  const Vector3d centre(30, -20, 300);
  for (const double towards : {0.0, pi / 2, 2.0}) {
    const Pose moved = moved_camera({.swing = radians(20), .towards = towards}, centre);
    CHECK((moved.inverse() * centre).isApprox(centre, 1e-14));
  }
}

TEST_CASE("Swung to the right, the camera stands to the right and looks back to the left") {
  const Pose moved = moved_camera({.swing = radians(90), .towards = 0}, {0, 0, 300});
  CHECK(moved.translation().isApprox(Vector3d(300, 0, 300), 1e-14));
  CHECK((moved.linear() * Vector3d::UnitZ()).isApprox(-Vector3d::UnitX(), 1e-14));
  const Pose down = moved_camera({.swing = radians(90), .towards = pi / 2}, {0, 0, 300});
  CHECK(down.translation().isApprox(Vector3d(0, 300, 300), 1e-14));  // y is down in the picture
}

TEST_CASE("The smallest changes are tried first, none twice") {
  const auto changes = look_changes(200);
  CHECK(changes.size() == 8 * 10 * 25 - 1);
  // A tenth of the distance, 10 deg of swing and 30 deg of turn count alike: two ways along, two turns, eight swings.
  std::vector<std::string> first;
  for (std::size_t i = 0; i < 12; ++i) first.push_back(change_text(changes[i]));
  for (const char* one : {"20 mm back", "20 mm forward", "turned 30 deg", "turned -30 deg", "swung 10 deg to the right",
                          "swung 10 deg to the lower right", "swung 10 deg up"})
    CHECK(std::ranges::count(first, one) == 1);
  for (std::size_t i = 0; i < changes.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      CHECK_FALSE((changes[i].back_mm == changes[k].back_mm && changes[i].swing == changes[k].swing &&
                   changes[i].towards == changes[k].towards && changes[i].turn == changes[k].turn));
}

TEST_CASE("A change in words") {
  CHECK(change_text({radians(10), pi, 40, radians(-30)}) == "40 mm back, swung 10 deg to the left, turned -30 deg");
}
