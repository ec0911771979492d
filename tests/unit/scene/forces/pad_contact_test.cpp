// SPDX-License-Identifier: GPL-3.0-or-later
// Pads against parts: areas and gaps that can be worked by hand, and random ones against rays.
#include "scene/forces/pad_contact.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double depth = 0.5;

Pose at(double x, double y, double z) {
  return Pose(Eigen::Translation3d(x, y, z));
}
Pose turned(double degrees, const Vector3d& axis) {
  return Pose(Eigen::AngleAxisd(degrees * pi / 180, axis));
}
PlacedMesh placed(const Mesh& mesh, const Pose& pose, std::size_t body) {
  return {&mesh, pose, true, BodyId(body)};
}

/// Two boxes of 10 x 20 x 40 as pads, their faces `opening` apart, the right one further off by `aside` along y.
PadContact between_boxes(const Mesh& part, double opening, const Pose& part_at = Pose::Identity(), double aside = 0) {
  const Mesh pad = box_mesh({10, 20, 40});
  const std::vector<PlacedMesh> pads{placed(pad, at(-opening / 2 - 5, 0, 0), 1),
                                     placed(pad, at(opening / 2 + 5, aside, 0), 2)};
  const PlacedMesh whole = placed(part, part_at, 0);
  return pad_contact(2, pads, {&whole, 1}, depth);
}

}  // namespace

TEST_CASE("pads drawn closed on a box meet it on their whole faces") {
  const PadContact contact = between_boxes(box_mesh({30, 100, 100}), 30);
  REQUIRE(contact.on_all_sides());
  CHECK(contact.least_area_mm2() == Approx(20 * 40));
  CHECK(contact.sides[0].met.bodies == std::vector{BodyId(1)});  // the left pad presses along x
  CHECK(contact.sides[1].met.bodies == std::vector{BodyId(2)});
  CHECK(contact.sides[0].met.face_mm2 == Approx(20 * 40));
}

TEST_CASE("pads 40 apart do not meet a bar of 30: 5 of air on either side") {
  const PadContact contact = between_boxes(box_mesh({30, 100, 100}), 40);
  CHECK_FALSE(contact.on_all_sides());
  CHECK(contact.least_area_mm2() == 0);
  for (const PadSide& side : contact.sides) {
    REQUIRE(side.gap);
    CHECK(side.gap->gap_mm == Approx(5));
  }
  CHECK(*contact.width == Approx(30));
  CHECK_FALSE(contact.inside);
}

TEST_CASE("pads that are drawn into the part are as far off, with the other sign") {
  const PadContact contact = between_boxes(box_mesh({30, 100, 100}), 28);
  CHECK_FALSE(contact.on_all_sides());
  CHECK(contact.sides[0].gap->gap_mm == Approx(-1));
  CHECK(*contact.width == Approx(30));
}

TEST_CASE("what lies within the depth counts, air or cut, and nothing beyond") {
  CHECK(between_boxes(box_mesh({30, 100, 100}), 30.98).on_all_sides());
  CHECK(between_boxes(box_mesh({30, 100, 100}), 29.02).on_all_sides());
  CHECK_FALSE(between_boxes(box_mesh({30, 100, 100}), 31.02).on_all_sides());
}

TEST_CASE("one pad beside the part leaves that side bare, with nothing opposite it") {
  const PadContact contact = between_boxes(box_mesh({30, 100, 100}), 30, Pose::Identity(), 61);
  CHECK(contact.sides[0].met.area_mm2 == Approx(800));
  CHECK(contact.sides[1].met.area_mm2 == 0);
  CHECK_FALSE(contact.sides[1].gap);
}

TEST_CASE("a pad over the part's rim counts where it lies over it") {
  // the part ends at y = 50: of the right pad's 20 mm from 47 to 67, 3 are over it
  const PadContact contact = between_boxes(box_mesh({30, 100, 100}), 30, Pose::Identity(), 57);
  CHECK(contact.sides[1].met.area_mm2 == Approx(3 * 40));
}

TEST_CASE("a round bar between flat pads meets them on the strip within the depth, never more") {
  // derived: at half width w the surface is R - sqrt(R^2 - w^2) off; within 0.5 of R = 15: w = sqrt(0.5 (30 - 0.5))
  // = 3.84
  const Mesh bar = cylinder_mesh(15, 200);
  const PadContact contact = between_boxes(bar, 30, turned(90, Vector3d::UnitX()));
  const double strip = 2 * std::sqrt(0.5 * 29.5) * 20;  // the bar lies along y, the pads are 20 long there
  REQUIRE(contact.on_all_sides());
  CHECK(contact.least_area_mm2() <= strip * (1 + 1e-9));
  CHECK(contact.least_area_mm2() >= 0.85 * strip);
}

TEST_CASE("the faces of V pads count: they stand 45 degrees to the way they close") {
  const Mesh bar = cylinder_mesh(15, 200), cheek = box_mesh({10, 30, 40});
  std::vector<PlacedMesh> pads;
  for (const double side : {-1.0, 1.0})
    for (const double tilt : {-45.0, 45.0})
      pads.push_back(placed(cheek, turned(tilt, Vector3d::UnitZ()) * at(side * 20, 0, 0), side < 0 ? 1 : 2));
  const PlacedMesh part = placed(bar, Pose::Identity(), 0);
  const PadContact contact = pad_contact(2, pads, {&part, 1}, depth);
  REQUIRE(contact.on_all_sides());
  // derived: each cheek's strip within 0.5 cos 45 of its face, seen along x, two a side
  const double gap = 0.5 * std::sqrt(0.5), strip = 2 * std::sqrt(gap * (30 - gap)) * std::sqrt(0.5) * 40;
  CHECK(contact.least_area_mm2() <= 2 * strip * 1.05);
  CHECK(contact.least_area_mm2() >= 2 * strip * 0.8);
}

TEST_CASE("fingers in a bore hold with the faces that look outward") {
  // a bore of four bars, 60 wide; fingers of 10 against its walls at -30 and 30
  const Mesh bar = box_mesh({10, 80, 40}), finger = box_mesh({10, 20, 40});
  const std::vector<PlacedMesh> bore{placed(bar, at(-35, 0, 0), 0), placed(bar, at(35, 0, 0), 0)};
  const auto pads = [&](double x) {
    return std::vector<PlacedMesh>{placed(finger, at(-x, 0, 0), 1), placed(finger, at(x, 0, 0), 2)};
  };
  const PadContact contact = pad_contact(2, pads(25), bore, depth);
  CHECK(contact.on_all_sides());
  CHECK(contact.least_area_mm2() == Approx(800));
  const PadContact short_of_it = pad_contact(2, pads(22), bore, depth);
  CHECK_FALSE(short_of_it.on_all_sides());
  CHECK(short_of_it.inside);
  CHECK(*short_of_it.width == Approx(60));
}

TEST_CASE("three pads stand round a bar, however the jaw is turned about z") {
  const Mesh bar = cylinder_mesh(15, 100), pad = box_mesh({10, 12, 30});
  const PlacedMesh part = placed(bar, Pose::Identity(), 0);
  const auto pads = [&](double first, double radius, int count) {
    std::vector<PlacedMesh> all;
    for (int k = 0; k < count; ++k)
      all.push_back(placed(pad, turned(first + 120 * k, Vector3d::UnitZ()) * at(radius + 5, 0, 0), k));
    return all;
  };
  for (const double first : {0.0, 17.0, 61.0}) {
    const PadContact contact = pad_contact(3, pads(first, 15, 3), {&part, 1}, depth);
    CHECK(contact.on_all_sides());
    CHECK_FALSE(contact.inside);
    CHECK(contact.least_area_mm2() == Approx(2 * std::sqrt(0.5 * 29.5) * 30).epsilon(0.15));
  }
  CHECK_FALSE(pad_contact(3, pads(0, 17, 3), {&part, 1}, depth).on_all_sides());
  const auto short_of_one = pad_contact(3, pads(0, 15, 2), {&part, 1}, depth);
  CHECK_FALSE(short_of_one.on_all_sides());
}

TEST_CASE("faces drawn twice count once") {
  const Mesh part = box_mesh({30, 100, 100}), pad = box_mesh({10, 20, 40});
  const std::vector<PlacedMesh> pads{placed(pad, at(-20, 0, 0), 1), placed(pad, at(-20, 10, 0), 1),
                                     placed(pad, at(20, 0, 0), 2)};
  const PlacedMesh whole = placed(part, Pose::Identity(), 0);
  CHECK(pad_contact(2, pads, {&whole, 1}, depth).sides[0].met.area_mm2 == Approx(30 * 40));
}

TEST_CASE("how far a surface may stray is taken from the depth") {
  Mesh part = box_mesh({30, 100, 100});
  part.deviation = {0.2, 0};
  CHECK(between_boxes(part, 30.5).on_all_sides());
  CHECK_FALSE(between_boxes(part, 30.7).on_all_sides());
}

namespace {

/// How far along x a box's surface is first met from far left, at a place (y, z): slabs, in long double.
long double first_met(const Vector3d& half, const Pose& pose, double y, double z) {
  const Pose back = pose.inverse();
  const Vector3d from = back * Vector3d(-1000, y, z), way = back.linear() * Vector3d::UnitX();
  long double enter = -1e30L, leave = 1e30L;
  for (int axis = 0; axis < 3; ++axis) {
    const long double o = from[axis], d = way[axis], h = half[axis];
    if (std::abs(d) < 1e-15L) {
      if (std::abs(o) > h) return std::numeric_limits<long double>::quiet_NaN();
      continue;
    }
    enter = std::max(enter, std::min((-h - o) / d, (h - o) / d));
    leave = std::min(leave, std::max((-h - o) / d, (h - o) / d));
  }
  return enter <= leave ? enter - 1000 : std::numeric_limits<long double>::quiet_NaN();
}

}  // namespace

TEST_CASE("random tilted boxes before a flat pad: the area is that of the rays that find it within the depth") {
  random_geometry::Engine engine(18);
  const int cases = std::getenv("CELLPROOF_LONG") != nullptr ? 200 : 20;
  const Mesh pad = box_mesh({10, 30, 30});
  for (int n = 0; n < cases; ++n) {
    const Vector3d size(30, random_geometry::between(engine, 5, 60), random_geometry::between(engine, 5, 60));
    const Pose pose = at(random_geometry::between(engine, 14.8, 15.6), random_geometry::between(engine, -20, 20),
                         random_geometry::between(engine, -20, 20)) *
                      turned(random_geometry::between(engine, -3, 3), random_geometry::direction(engine));
    const Mesh part = box_mesh(size);
    const PlacedMesh whole = placed(part, pose, 0), left = placed(pad, at(-5, 0, 0), 1);
    const double area = pad_contact(2, {&left, 1}, {&whole, 1}, depth).sides[0].met.area_mm2;
    constexpr int rays = 300;
    constexpr double golden = 0.6180339887498949;
    long within = 0;
    for (int i = 0; i < rays; ++i)
      for (int k = 0; k < rays; ++k) {
        // No row or column of rays runs along an edge.
        const double y = i + std::fmod(golden * k, 1), z = k + std::fmod(golden * i, 1);
        const long double x = first_met(size / 2, pose, -15 + 30 * y / rays, -15 + 30 * z / rays);
        if (std::abs(x) <= depth) ++within;
      }
    INFO("case " << n);
    CHECK(area == Approx(900.0 * static_cast<double>(within) / (rays * rays)).margin(2.0));
  }
}
