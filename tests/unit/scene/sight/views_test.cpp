// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/views.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/lookout.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A plate of 1 mm whose face towards the camera lies at depth z.
Body plate(std::string name, double width, double height, double x, double y, double z, std::string on = "world") {
  return body(std::move(name), BoxShape{{width, height, 1}}, at(x, y, z + 0.5), std::move(on));
}

TargetView view_of(const Camera& camera, const Target& target, const std::vector<Body>& bodies) {
  return Look(lookout(camera, {target}, bodies)).target();
}

const Target square_60 = facing_target({0, 0, 400}, 60, 60);  // 166 pixels across

}  // namespace

TEST_CASE("A target with nothing before it is seen whole") {
  const TargetView view = view_of(camera_60_degrees(), square_60, {plate("table", 600, 600, 0, 0, 400)});
  CHECK(view.in_frame == 1);
  CHECK(view.visible == 1);
  CHECK(view.in_range == 1);
  CHECK(view.blocked_by.empty());
  CHECK(view.facing == Approx(0).margin(1e-9));
  CHECK_FALSE(view.in_focus);
  CHECK(view.mm_per_pixel == Approx(400 / (640 / std::tan(radians(30)))).epsilon(1e-9));  // distance over fx
}

TEST_CASE("An edge hides its share by similar triangles") {
  // The plate ends at x = 5 at depth 200, its shadow at x = 10 at depth 400: 40 of 60 mm.
  const Look look(lookout(camera_60_degrees(), {square_60}, {plate("plate", 305, 600, -147.5, 0, 200)}));
  const TargetView view = look.target();
  REQUIRE(view.blocked_by.size() == 1);
  CHECK(look.name(view.blocked_by[0].body) == "plate");
  CHECK(view.blocked_by[0].share == Approx(40. / 60).margin(5e-4));
  CHECK(view.visible == Approx(20. / 60).margin(5e-4));
  CHECK(view.in_frame == 1);
}

TEST_CASE("A strip far narrower than a cell is not lost") {
  // 0.05 mm at depth 200 hide 0.1 mm of 60: a fifth of a sampling cell, in the middle and along the rim.
  const double across = 0.1 / 60;
  const TargetView middle = view_of(camera_60_degrees(), square_60, {plate("wire", 0.05, 100, 3.21, 0, 200)});
  CHECK(1 - middle.visible == Approx(across).margin(0.001));
  CHECK(middle.visible < 1);
  // A plate's far edge, at depth 201, casts the rim of its shadow: from x = 15.025 it falls onto 29.9 (derived).
  const double edge = (30 - 0.1) * 201 / 400;
  const TargetView rim = view_of(camera_60_degrees(), square_60, {plate("rim", 100, 100, edge + 50, 0, 200)});
  CHECK(1 - rim.visible == Approx(across).margin(2e-4));
}

TEST_CASE("A disk hides a disk") {
  // r 60 at depth 300 on a plane at 400: r 80 (derived), a polygon of 60 mm with 0.02 mm sagitta lacks 0.04 %.
  const TargetView view = view_of(camera_60_degrees(), facing_target({0, 0, 400}, 200, 200),
                                  {body("disk", CylinderShape{60, 1}, at(0, 0, 300.5))});
  CHECK(1 - view.visible == Approx(pi * 80 * 80 / (200 * 200)).margin(0.001));
}

TEST_CASE("A ball hides a disk") {
  // The cone of tangents to r 40 at 300 is r 400 · 40 / sqrt(300² − 40²) wide at 400 (elementary).
  const TargetView view = view_of(camera_60_degrees(), facing_target({0, 0, 400}, 200, 200),
                                  {body("ball", SphereShape{40}, at(0, 0, 300))});
  const double r = 400 * 40 / std::sqrt(300. * 300 - 40 * 40);
  CHECK(1 - view.visible == Approx(pi * r * r / (200 * 200)).margin(0.001));
}

TEST_CASE("The first body on the way is the one that blocks") {
  const Look look(lookout(camera_60_degrees(), {square_60},
                          {plate("far", 300, 300, 0, 0, 300), plate("near", 100, 300, -50, 0, 200)}));
  const TargetView view = look.target();
  REQUIRE(view.blocked_by.size() == 2);
  // near ends at x = 0 and hides the left half, far what is left of it
  CHECK(view.blocked_by[0].share + view.blocked_by[1].share == Approx(1).margin(1e-12));
  CHECK(view.blocked_by[0].share == Approx(0.5).margin(5e-4));
  CHECK(view.visible == 0);
}

TEST_CASE("A target across the picture's edge is in frame by half") {
  const double edge = 400 * std::tan(radians(30));
  const TargetView view = view_of(camera_60_degrees(), facing_target({edge, 0, 400}, 60, 60), {});
  CHECK(view.in_frame == Approx(0.5).margin(5e-4));
  CHECK(view.visible == view.in_frame);
}

TEST_CASE("A blocker beside the picture takes nothing that is not out of frame already") {
  const double edge = 400 * std::tan(radians(30));
  // its far edge, at depth 201, hides what lies right of the picture's edge
  const TargetView view = view_of(camera_60_degrees(), facing_target({edge, 0, 400}, 60, 60),
                                  {plate("beside", 100, 100, edge * 201 / 400 + 50.001, 0, 200)});
  CHECK(view.blocked_by.empty());
}

TEST_CASE("Behind the camera is nothing") {
  const TargetView view = view_of(camera_60_degrees(), facing_target({0, 0, -400}, 60, 60), {});
  CHECK(view.in_frame == 0);
  CHECK(view.visible == 0);
  CHECK(view.in_range == 0);
  CHECK(std::isnan(view.mm_per_pixel));
}

TEST_CASE("From its back a target is in frame and not visible") {
  Target away = square_60;
  away.placed.at = at(0, 0, 400);
  const TargetView view = view_of(camera_60_degrees(), away, {});
  CHECK(view.in_frame == 1);
  CHECK(view.visible == 0);
  CHECK(degrees(view.facing) == Approx(180));
}

TEST_CASE("A tilted target is coarser by the cosine") {
  Target tilted = square_60;
  tilted.placed.at = square_60.placed.at * Eigen::AngleAxisd(radians(60), Vector3d::UnitY());
  const Camera camera = camera_60_degrees();
  const TargetView view = view_of(camera, tilted, {});
  CHECK(degrees(view.facing) == Approx(60));
  CHECK(view.mm_per_pixel == Approx(400 / camera.fx / std::cos(radians(60))));
  CHECK(view.visible == 1);
}

TEST_CASE("Edge on, a target is not visible and has no finite resolution") {
  Target edge_on = square_60;
  edge_on.placed.at = at(0, 0, 400) * Eigen::AngleAxisd(pi / 2, Vector3d::UnitX());
  const TargetView view = view_of(camera_60_degrees(), edge_on, {});
  CHECK((view.mm_per_pixel > 1e9 || std::isnan(view.mm_per_pixel)));
  CHECK(degrees(view.facing) == Approx(90));
}

TEST_CASE("Range is counted along z, exactly") {
  Target tilted = facing_target({0, 0, 895}, 60, 60);
  tilted.placed.at = tilted.placed.at * Eigen::AngleAxisd(radians(30), Vector3d::UnitY());
  // z runs from 880 to 910 over the width: 20 of 30 mm lie nearer than 900
  CHECK(view_of(camera_60_degrees(), tilted, {}).in_range == Approx(2. / 3).margin(1e-12));
  CHECK(view_of(camera_60_degrees(), facing_target({0, 0, 900}, 60, 60), {}).in_range == 1);
  CHECK(view_of(camera_60_degrees(), facing_target({0, 0, 900.001}, 60, 60), {}).in_range == 0);
}

TEST_CASE("A hit counts only when nearer than the target by more than 0.05 mm") {
  CHECK(view_of(camera_60_degrees(), square_60, {plate("sheet", 600, 600, 0, 0, 399.96)}).visible == 1);
  CHECK(view_of(camera_60_degrees(), square_60, {plate("sheet", 600, 600, 0, 0, 399.94)}).visible == 0);
}

TEST_CASE("A blocker nearer than the range blocks all the same") {
  CHECK(view_of(camera_60_degrees(), square_60, {plate("speck", 40, 40, 0, 0, 20)}).visible == 0);
}

TEST_CASE("Rays start at the front element") {
  Camera camera = camera_60_degrees();
  camera.front = 30;
  CHECK(view_of(camera, square_60, {plate("lens tube", 40, 40, 0, 0, 20)}).visible == 1);
  CHECK(view_of(camera, square_60, {plate("cap", 40, 40, 0, 0, 31)}).visible == 0);
  CHECK(view_of(camera, facing_target({0, 0, 25}, 5, 5), {}).visible == 0);
}

TEST_CASE("The housing never blocks its own camera") {
  Camera camera = camera_60_degrees();
  const std::vector<Body> bodies{plate("case", 40, 40, 0, 0, 20)};
  CHECK(view_of(camera, square_60, bodies).visible == 0);
  camera.housing = {"case"};
  CHECK(view_of(camera, square_60, bodies).visible == 1);
}

TEST_CASE("What is not there does not block") {
  Look look(lookout(camera_60_degrees(), {square_60}, {plate("gone", 100, 100, 0, 0, 200)}));
  look.request.arrangement.present.at(0) = 0;
  CHECK(look.target().visible == 1);
}

TEST_CASE("In focus means all four corners") {
  Camera camera = camera_60_degrees();
  camera.focal_length = 12;
  camera.focus = Focus{400, 4, 3.45e-3};  // sharp from 385.66 to 415.45 mm: see camera_published_test
  CHECK(view_of(camera, square_60, {}).in_focus == true);
  Target tilted = square_60;  // ± 30 sin 30° = ± 15 mm: 385 is out
  tilted.placed.at = tilted.placed.at * Eigen::AngleAxisd(radians(30), Vector3d::UnitY());
  CHECK(view_of(camera, tilted, {}).in_focus == false);
}

TEST_CASE("Shares are of area on the target's plane, not in the picture") {
  // A plane tilted by 60° about y: the near half takes more of the picture. A plate's edge at x = 0 still hides half.
  Target tilted = facing_target({0, 0, 400}, 200, 60);
  tilted.placed.at = tilted.placed.at * Eigen::AngleAxisd(radians(60), Vector3d::UnitY());
  CHECK(view_of(camera_60_degrees(), tilted, {plate("plate", 100, 300, 50, 0, 200)}).visible ==
        Approx(0.5).margin(5e-4));
}

TEST_CASE("Shares agree with a plain count that knows no tree") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> unit(-1, 1);
  const auto turn = [&] {
    return Eigen::Quaterniond(unit(random), unit(random), unit(random), unit(random)).normalized();
  };
  for (int round = 0; round < 12; ++round) {
    std::vector<Body> bodies;
    std::vector<Vector3d> corners;  // three a triangle, in world
    for (int i = 0; i < 4; ++i) {
      const Vector3d size(40 + 30 * unit(random), 40 + 30 * unit(random), 40 + 30 * unit(random));
      const Pose pose = at(80 * unit(random), 60 * unit(random), 220 + 50 * unit(random)) * turn();
      bodies.push_back(body("box " + std::to_string(i), BoxShape{size}, pose));
      const Mesh mesh = box_mesh(size);
      for (const Triangle& triangle : mesh.triangles)
        for (const std::uint32_t corner : triangle) corners.push_back(pose * mesh.vertices[corner]);
    }
    Target target = facing_target({30 * unit(random), 20 * unit(random), 420}, 150, 120);
    target.placed.at = target.placed.at * Eigen::AngleAxisd(0.5 * unit(random), Vector3d::UnitX());
    // Given a plain lattice of 200 × 200 and every triangle asked by Möller, Trumbore, 1997
    const auto blocked = [&](const Vector3d& point) {
      for (std::size_t i = 0; i < corners.size(); i += 3) {
        const Vector3d e1 = corners[i + 1] - corners[i], e2 = corners[i + 2] - corners[i], p = point.cross(e2);
        const double det = e1.dot(p);
        if (std::abs(det) < 1e-12) continue;
        const double u = -corners[i].dot(p) / det;
        const Vector3d q = (-corners[i]).cross(e1);
        const double v = point.dot(q) / det, t = e2.dot(q) / det;
        if (u >= 0 && v >= 0 && u + v <= 1 && t > 0 && t * point.norm() < point.norm() - 0.05) return true;
      }
      return false;
    };
    int clear = 0;
    constexpr int side = 200;
    for (int i = 0; i < side; ++i)
      for (int j = 0; j < side; ++j)
        clear +=
            !blocked(target.placed.at * Vector3d(150 * ((i + 0.5) / side - 0.5), 120 * ((j + 0.5) / side - 0.5), 0));
    CHECK(view_of(camera_60_degrees(), target, bodies).visible == Approx(clear / double(side * side)).margin(0.003));
  }
}

TEST_CASE("The picture's share of a plate in hand is its projected area") {
  // fx · 100/300 by fx · 60/300 pixels (derived)
  const Camera camera = camera_60_degrees();
  const Look look(lookout(camera, {}, {plate("gripper", 100, 60, 0, 0, 300, "flange")}));
  const CameraView view = measure_view(look.scene, look.request);
  REQUIRE(view.blocked_by.size() == 1);
  const double pixels = camera.fx * camera.fx * 100 * 60 / (300. * 300);
  CHECK(static_cast<double>(view.blocked_by[0].pixels) == Approx(pixels).epsilon(0.003));
  CHECK(view.blocked_by[0].share == Approx(pixels / (1280 * 960)).epsilon(0.003));
}

TEST_CASE("The picture's share of a round cup in hand is its projected area") {
  const Camera camera = camera_60_degrees();
  const Look look(lookout(camera, {}, {body("cup", CylinderShape{60, 1}, at(20, -10, 300.5), "flange")}));
  const CameraView view = measure_view(look.scene, look.request);
  REQUIRE(view.blocked_by.size() == 1);
  const double pixels = pi * std::pow(camera.fx * 60 / 300, 2);
  CHECK(static_cast<double>(view.blocked_by[0].pixels) == Approx(pixels).epsilon(0.003));
}

TEST_CASE("A coarse picture gives shares of the picture all the same") {
  // 80 × 60 pixels: a pixel is 0.02 % of the picture, and edges are counted in parts of it.
  const Camera camera = camera_60_degrees(80, 60);
  const Look look(lookout(camera, {}, {plate("gripper", 100, 60, 7, 3, 300, "flange")}));
  const CameraView view = measure_view(look.scene, look.request);
  REQUIRE(view.blocked_by.size() == 1);
  CHECK(view.blocked_by[0].share == Approx(std::pow(camera.fx / 300, 2) * 100 * 60 / (80 * 60)).margin(0.001));
}

TEST_CASE("A sphere off the axis covers an ellipse of the picture") {
  // Cone of tangents cut by the picture's plane (elementary): half axes f r / sqrt(z² − r²) and
  // f r sqrt(d² − r²) / (z² − r²), d from the eye to the centre, z along the axis. The sphere's facets lack 0.1 %.
  const Camera camera = camera_60_degrees();
  const Vector3d centre(90, -60, 300);
  const double r = 50, z2 = centre.z() * centre.z() - r * r, f = camera.fx;
  const double area = pi * (f * r / std::sqrt(z2)) * (f * r * std::sqrt(centre.squaredNorm() - r * r) / z2);
  const Look look(lookout(camera, {}, {body("ball", SphereShape{r}, at(90, -60, 300), "flange")}));
  const CameraView view = measure_view(look.scene, look.request);
  REQUIRE(view.blocked_by.size() == 1);
  CHECK(view.blocked_by[0].share == Approx(area / (1280 * 960)).epsilon(0.002));
}

TEST_CASE("The pixels that see a disk on the axis make up its solid angle") {
  // 2π (1 − d / sqrt(d² + r²)) (elementary); a pixel at (x, y, 1) takes (1 / f²) / (x² + y² + 1)^1.5 of it.
  const Camera camera = camera_60_degrees();
  const double d = 200, r = 70;
  const Look look(lookout(camera, {}, {body("disk", CylinderShape{r, 1}, at(0, 0, d + 0.5), "flange")}));
  const auto seen = seen_bodies(look.scene, look.request);
  double angle = 0;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    if (!seen[i]) continue;
    const Vector3d ray = ray_of_pixel(camera, {static_cast<double>(i % 1280), static_cast<double>(i / 1280)}).value();
    angle += std::pow(camera.fx, -2) / std::pow(ray.norm(), 3);
  }
  CHECK(angle == Approx(2 * pi * (1 - d / std::hypot(d, r))).epsilon(0.002));
}

TEST_CASE("Only the end effector counts in the picture, and only where nothing is nearer") {
  const Look look(lookout(camera_60_degrees(), {},
                          {plate("gripper", 100, 60, 0, 0, 300, "flange"), plate("door", 400, 400, 0, 0, 200),
                           plate("wall", 3000, 3000, 0, 0, 800)}));
  CHECK(measure_view(look.scene, look.request).blocked_by.empty());
}

TEST_CASE("The picture is the same on any number of threads") {
  Look look(lookout(camera_60_degrees(320, 240), {square_60},
                    {body("cup", SphereShape{60}, at(20, -10, 300), "flange"), plate("wall", 200, 200, 0, 0, 800)}));
  look.request.threads = 1;
  const auto alone = seen_bodies(look.scene, look.request);
  const double visible = look.target().visible;
  look.request.threads = 2;
  CHECK(seen_bodies(look.scene, look.request) == alone);
  CHECK(look.target().visible == visible);
}

TEST_CASE("Pixels that a folding distortion does not reach see nothing") {
  Camera camera = camera_60_degrees(320, 240);
  camera.distortion = {-0.8, 0, 0, 0, 0};
  const Look look(lookout(camera, {}, {plate("wall", 3000, 3000, 0, 0, 400)}));
  const auto seen = seen_bodies(look.scene, look.request);
  CHECK_FALSE(seen.front());
  CHECK(seen[120 * 320 + 160] == BodyId(0));
}
