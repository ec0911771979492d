// SPDX-License-Identifier: GPL-3.0-or-later
// Bodies with a convex solid taken off, as meshes and as STEP, against closed forms; and what can't be cut.
#include "scene/cutting/solid_cut.hpp"

#include <random>

#include "scene/cutting/common_volume.hpp"
#include "scene/mesh/mesh_pieces.hpp"
#include "scene/mesh/primitives.hpp"
#include "tests/support/cad_files.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// Apex at the origin, a square of 2 half x 2 half at z = height.
ConvexSolid pyramid(double half, double height) {
  return *convex_hull(
      {{0, 0, 0}, {-half, -half, height}, {half, -half, height}, {half, half, height}, {-half, half, height}});
}

Mesh moved(Mesh mesh, const Vector3d& by) {
  for (Vector3d& vertex : mesh.vertices) vertex += by;
  return mesh;
}

Mesh together(Mesh mesh, const Mesh& other) {
  const auto first = static_cast<std::uint32_t>(mesh.vertices.size());
  mesh.vertices.insert(mesh.vertices.end(), other.vertices.begin(), other.vertices.end());
  for (const auto& [a, b, c] : other.triangles) mesh.triangles.push_back({a + first, b + first, c + first});
  return mesh;
}

SolidCut cut(const Mesh& body, const std::vector<ConvexSolid>& cutters) {
  const auto result = cut_mesh_free(body, cutters, "the body");
  if (!result) FAIL(result.error().what);
  CHECK(closedness(result->rest).closed);
  CHECK(solid_properties(result->rest).volume == Approx(result->before_mm3 - result->removed_mm3).epsilon(1e-12));
  return *result;
}

std::string refusal(const Mesh& body, const std::vector<ConvexSolid>& cutters) {
  const auto result = cut_mesh_free(body, cutters, "the body");
  REQUIRE_FALSE(result);
  CHECK_FALSE(result.error().mend.empty());
  return result.error().what;
}

/// The part of the pyramid between two heights (elementary): a frustum.
double frustum(double half, double height, double from, double to) {
  const double slope = 2 * half / height;
  return slope * slope * (to * to * to - from * from * from) / 3;
}

}  // namespace

TEST_CASE("a box less a pyramid that passes through it has the closed form's volume, as a mesh") {
  // a plate from z = 40 to 60 that the pyramid of 45 degrees passes; bar: 1e-6
  const Mesh plate = moved(box_mesh({200, 200, 20}), {0, 0, 50});
  const SolidCut result = cut(plate, {pyramid(100, 100)});
  const double removed = frustum(100, 100, 40, 60);
  CHECK(result.before_mm3 == Approx(800000).epsilon(1e-14));
  CHECK(result.removed_mm3 == Approx(removed).epsilon(1e-12));
  CHECK(solid_properties(result.rest).volume == Approx(800000 - removed).epsilon(1e-12));
  // about the axis, and nearer to the wide end: mean z over the slices' areas (elementary)
  CHECK(result.removed_centroid.head<2>().norm() < 1e-9);
  CHECK(result.removed_centroid.z() ==
        Approx((std::pow(60, 4) - std::pow(40, 4)) / 4 / ((std::pow(60, 3) - std::pow(40, 3)) / 3)).epsilon(1e-10));
}

TEST_CASE("a box less a pyramid has the closed form's volume, as STEP") {
  const CadFolder folder;
  const std::string bytes = step_of_pieces(R"({"box": [200, 200, 20], "at": {"xyz": [0, 0, 50]}})");
  const Mesh plate = mesh_of_step(folder.write("plate.step", bytes));
  const auto result = cut_step_free({bytes, "thing", 0.05}, plate, {pyramid(100, 100)}, "the body");
  if (!result) FAIL(result.error().what);
  REQUIRE(result->step);
  const Mesh back = mesh_of_step(folder.write("cut.step", *result->step), 0.05, "thing");
  const double left = 800000 - frustum(100, 100, 40, 60);
  // bar: 1e-9 for plane faces
  REQUIRE(back.exact);
  CHECK(back.exact->solid.volume == Approx(left).epsilon(1e-12));
  CHECK(result->removed_mm3 == Approx(frustum(100, 100, 40, 60)).epsilon(1e-11));
  CHECK(solid_properties(triangles_only(result->rest)).volume == Approx(left).epsilon(1e-10));
}

TEST_CASE("round bodies come back as STEP with the volume that Open CASCADE and our own clipping agree on") {
  const CadFolder folder;
  const std::string bytes = step_of_pieces(R"({"cylinder": {"radius": 25, "height": 60}, "at": {"xyz": [14, 3, 70]}})",
                                           R"({"cylinder": {"radius": 10, "height": 90}, "at": {"xyz": [14, 3, 70]}})");
  const Mesh body = mesh_of_step(folder.write("ring.step", bytes), 0.002);
  const std::vector<ConvexSolid> cutters{pyramid(30, 120)};
  const auto result = cut_step_free({bytes, "", 0.002}, body, cutters, "the body");
  if (!result) FAIL(result.error().what);
  const double common = common_part(body, cutters.front()).volume;
  CHECK(result->removed_mm3 == Approx(common).epsilon(1e-3));
  CHECK(common > 1000);
}

TEST_CASE("a cut that meets corners, edges and faces of the body exactly") {
  // the base of the pyramid lies in the upper face of the box, and its edges pass through the corners of the lower one
  CHECK(refusal(moved(box_mesh({100, 100, 50}), {0, 0, 75}), {pyramid(100, 100)}) ==
        "the body stands in the view as a whole: nothing is left");
  const SolidCut upper = cut(moved(box_mesh({300, 200, 50}), {0, 0, 75}), {pyramid(100, 100)});
  CHECK(upper.removed_mm3 == Approx(frustum(100, 100, 50, 100)).epsilon(1e-12));
  const SolidCut lower = cut(moved(box_mesh({100, 100, 50}), {0, 0, 25}), {pyramid(100, 100)});
  CHECK(lower.removed_mm3 == Approx(frustum(100, 100, 0, 50)).epsilon(1e-12));
}

TEST_CASE("a body beside the view is left as it is") {
  const Mesh box = moved(box_mesh({10, 10, 10}), {200, 0, 50});
  const SolidCut result = cut(box, {pyramid(100, 100)});
  CHECK(result.removed_mm3 == 0);
  CHECK(result.rest.triangles.size() == box.triangles.size());
}

TEST_CASE("what stands in the view as a whole leaves nothing, and that is an error") {
  CHECK(refusal(moved(box_mesh({10, 10, 10}), {0, 0, 80}), {pyramid(100, 100)}) ==
        "the body stands in the view as a whole: nothing is left");
}

TEST_CASE("several cutters take off what any of them holds") {
  const ConvexSolid left = placed(pyramid(20, 100), Pose(Eigen::Translation3d(-60, 0, 0)));
  const ConvexSolid right = placed(pyramid(20, 100), Pose(Eigen::Translation3d(60, 0, 0)));
  const ConvexSolid near_left = placed(pyramid(20, 100), Pose(Eigen::Translation3d(-55, 0, 0)));
  const Mesh plate = moved(box_mesh({300, 200, 20}), {0, 0, 50});
  const double one = frustum(20, 100, 40, 60);
  CHECK(cut(plate, {left, right}).removed_mm3 == Approx(2 * one).epsilon(1e-12));
  CHECK(cut(plate, {left, left}).removed_mm3 == Approx(one).epsilon(1e-12));
  // two pyramids 5 apart: the second adds a slab of 5 times its depth in y (elementary)
  CHECK(cut(plate, {left, near_left}).removed_mm3 == Approx(one + 5 * 0.4 * (3600 - 1600) / 2).epsilon(1e-12));
}

TEST_CASE("an open mesh is refused with its hole and where it is") {
  Mesh box = moved(box_mesh({100, 100, 10}), {0, 0, 50});
  box.triangles.pop_back();
  const std::string what = refusal(box, {pyramid(100, 100)});
  INFO(what);
  CHECK(what.find("the body is not closed and can't be cut: 1 holes or seams, the largest of 3 open edges") == 0);
  CHECK(what.find("around (") != std::string::npos);
}

TEST_CASE("meshes that cross themselves are refused with the place") {
  const Mesh crossing =
      together(moved(box_mesh({100, 20, 10}), {0, 0, 50}), moved(box_mesh({20, 100, 10}), {0, 0, 52}));
  const std::string what = refusal(crossing, {pyramid(100, 100)});
  INFO(what);
  CHECK(what.find("the body crosses or touches itself in ") == 0);
  CHECK(what.find(" mm") != std::string::npos);
}

TEST_CASE("a shell turned inside out is refused, a hollow is cut with the body") {
  Mesh inner = moved(box_mesh({60, 60, 10}), {0, 0, 50});
  for (Triangle& triangle : inner.triangles) std::swap(triangle[1], triangle[2]);
  CHECK(refusal(inner, {pyramid(100, 100)}).find("turned inside out") != std::string::npos);
  const Mesh hollow = together(moved(box_mesh({300, 300, 20}), {0, 0, 50}), inner);
  // the hollow lies wholly in the view, from 45 to 55
  CHECK(cut(hollow, {pyramid(100, 100)}).removed_mm3 == Approx(frustum(100, 100, 40, 60) - 36000).epsilon(1e-12));
}

TEST_CASE("random balls less random pyramids have the volume that clipping finds") {
  std::mt19937 random(42);
  std::uniform_real_distribution<double> anywhere(-30, 30);
  for (int i = 0; i < 6; ++i) {
    const Mesh ball = moved(sphere_mesh(25), {anywhere(random), anywhere(random), 60 + anywhere(random)});
    const std::vector<ConvexSolid> cutters{pyramid(40, 110)};
    const double common = common_part(ball, cutters.front()).volume;
    if (common < 1) continue;
    const SolidCut result = cut(ball, cutters);
    CHECK(result.removed_mm3 == Approx(common).epsilon(1e-10));
    CHECK(common_part(result.rest, cutters.front()).volume == Approx(0).margin(1e-6));
  }
}

TEST_CASE("a solid written as STEP comes back with its volume and name") {
  const CadFolder folder;
  const auto step = step_of_solids({pyramid(100, 90)}, "view of 'eye'");
  if (!step) FAIL(step.error().what);
  const Mesh back = mesh_of_step(folder.write("view.step", *step), 0.05, "view of 'eye'");
  REQUIRE(back.exact);
  CHECK(back.exact->solid.volume == Approx(200.0 * 200 * 90 / 3).epsilon(1e-12));
}
