// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "kinematics/motion/motion_bounds.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

CarriedHull cube_on(int link, const Vector3d& centre, double half) {
  CarriedHull hull;
  hull.link = link;
  for (std::size_t i = 0; i < 8; ++i)
    hull.corners_in_link[i] = centre + half * Vector3d((i & 1) ? 1 : -1, (i & 2) ? 1 : -1, (i & 4) ? 1 : -1);
  return hull;
}

}  // namespace

TEST_CASE("points of a hull go as the even motion says, to within its stray, seen from any inner link") {
  Random random(71);
  for (int i = 0; i < 300; ++i) {
    const Arm arm = any_arm(random);
    const int link = 1 + static_cast<int>(random.between(0, 5.999));
    const int fixed = random.one_in(2) ? 0 : static_cast<int>(random.between(0, link + 0.999));
    const Joints middle = random.joints();
    const Joints change = std::pow(10, random.between(-4, 0.2)) * random.joints() / pi;
    const Joints off = (random.one_in(2) ? 0.0 : std::pow(10, random.between(-6, -2))) * Joints::Ones();
    const CarriedHull hull = cube_on(link, random.point(300), random.between(0, 200));
    const ArmFrames at_middle = arm_frames(arm, middle);
    const EvenMotion even = even_motion(arm, at_middle, hull, change, off, fixed);
    CAPTURE(i, link, fixed);
    for (int k = 0; k < 20; ++k) {
      const double u = k == 0 ? -0.5 : k == 1 ? 0.5 : random.between(-0.5, 0.5);
      // The middle itself may be off the even run as well, the other way.
      Joints values = middle + u * change;
      for (int j = 0; j < 6; ++j) values[j] += 2 * off[j] * random.between(-1, 1);
      const ArmFrames now = arm_frames(arm, values);
      for (const Vector3d& corner : hull.corners_in_link) {
        const Vector3d start = at_middle.link_in_base[link] * corner;
        const Vector3d seen =
            at_middle.link_in_base[fixed] * (now.link_in_base[fixed].inverse() * (now.link_in_base[link] * corner));
        const Vector3d way = u * (even.velocity + even.turning.cross(start - even.about));
        CHECK((seen - start - way).norm() <= even.stray_mm + 1e-9);
      }
    }
  }
}

TEST_CASE("one joint's even motion strays by half the square of its half turn, not by its way") {
  // Given joint 1 by 0.02 rad, a point 1000 mm out: it strays r (du)²/2 = 1000 * 0.01²/2 = 0.05 mm at the ends.
  const Arm arm = loader_arm();
  const ArmFrames frames = arm_frames(arm, Joints::Zero());
  CarriedHull hull;
  hull.link = 1;
  for (auto& corner : hull.corners_in_link) corner = frames.link_in_base[1].inverse() * Vector3d(1000, 0, 450);
  const EvenMotion even = even_motion(arm, frames, hull, 0.02 * Joints::Unit(0), Joints::Zero());
  CHECK(even.stray_mm == Approx(0.05));
  CHECK((even.velocity + even.turning.cross(Vector3d(1000, 0, 450) - even.about)).isApprox(Vector3d(0, 20, 0)));
}
