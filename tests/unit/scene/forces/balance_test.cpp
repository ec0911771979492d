// SPDX-License-Identifier: GPL-3.0-or-later
// What lies on what: contacts from meshes and the balance they give, by hand and against footprints sampled densely.
#include "scene/forces/balance.hpp"

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

struct Thing {
  Mesh mesh;
  Pose pose = Pose::Identity();
  PlacedMesh placed() const { return {&mesh, pose, true, BodyId(0)}; }
};

std::vector<PressingPoint> contacts(const Thing& part, const std::vector<Thing>& others) {
  std::vector<PressingPoint> all;
  for (const Thing& other : others) {
    const auto found = pressing_contacts(part.placed(), other.placed(), depth);
    all.insert(all.end(), found.points.begin(), found.points.end());
  }
  return all;
}

Balance balanced(const Thing& part, const std::vector<Thing>& others, double friction = 0) {
  return balance(contacts(part, others), part.pose.translation(), friction);
}

const Thing table{box_mesh({200, 200, 20}), at(0, 0, -10)};

}  // namespace

TEST_CASE("a box on a table stands half its width within the edge") {
  const Thing box{box_mesh({60, 40, 30}), at(10, 20, 15)};
  const Balance found = balanced(box, {table});
  REQUIRE(found.possible);
  CHECK(found.inside_mm == Approx(20).margin(0.02));
  CHECK(std::abs(found.edge_way.y()) == Approx(1).margin(1e-6));
}

TEST_CASE("a box over the table's edge falls once its centre is past it, friction or not") {
  for (const double friction : {0.0, 0.3}) {
    const Balance within = balanced({box_mesh({60, 40, 30}), at(97, 0, 15)}, {table}, friction);
    CHECK(within.inside_mm == Approx(3).margin(0.02));
    const Balance past = balanced({box_mesh({60, 40, 30}), at(105, 0, 15)}, {table}, friction);
    REQUIRE(past.possible);
    CHECK(past.inside_mm == Approx(-5).margin(0.02));
    CHECK(past.edge_way.x() == Approx(1).margin(1e-6));
  }
}

TEST_CASE("a centre right over the edge has nothing within it") {
  CHECK(std::abs(balanced({box_mesh({60, 40, 30}), at(100, 0, 15)}, {table}).inside_mm) < 1e-6);
}

TEST_CASE("nothing within the depth below is nothing to rest on") {
  CHECK(contacts({box_mesh({60, 40, 30}), at(0, 0, 15.6)}, {table}).empty());
  CHECK(contacts({box_mesh({60, 40, 30}), at(0, 0, 15.4)}, {table}).size() >= 4);
  CHECK_FALSE(balanced({box_mesh({60, 40, 30}), at(0, 0, 15.6)}, {table}).possible);
}

TEST_CASE("walls alone can't carry a box without friction, with it they do") {
  const std::vector<Thing> walls{{box_mesh({20, 100, 100}), at(-40, 0, 0)}, {box_mesh({20, 100, 100}), at(40, 0, 0)}};
  const Thing box{box_mesh({60, 40, 30})};
  CHECK_FALSE(balanced(box, walls).possible);
  CHECK(balanced(box, walls, 0.2).possible);
}

TEST_CASE("a box on two rails stands between them") {
  const std::vector<Thing> rails{{box_mesh({10, 200, 20}), at(-30, 0, -10)}, {box_mesh({10, 200, 20}), at(30, 0, -10)}};
  CHECK(balanced({box_mesh({100, 60, 20}), at(0, 0, 10)}, rails).inside_mm == Approx(30).margin(0.02));
  // the outer sides of the rails are at 35
  CHECK(balanced({box_mesh({100, 60, 20}), at(32, 0, 10)}, rails).inside_mm == Approx(3).margin(0.02));
  CHECK(balanced({box_mesh({100, 60, 20}), at(40, 0, 10)}, rails).inside_mm == Approx(-5).margin(0.02));
}

TEST_CASE("rails of unequal height within the depth both count") {
  const std::vector<Thing> rails{{box_mesh({10, 200, 20}), at(-30, 0, -10)},
                                 {box_mesh({10, 200, 20}), at(30, 0, -10.3)}};
  CHECK(balanced({box_mesh({100, 60, 20}), at(0, 0, 10)}, rails).inside_mm == Approx(30).margin(0.02));
}

TEST_CASE("on a slope a box slides without friction, and stays with more than the slope's tangent") {
  for (const double slope : {10.0, 20.0}) {
    const Pose tilt = turned(slope, Vector3d::UnitY());
    const Thing plane{box_mesh({200, 200, 20}), tilt * at(0, 0, -10)}, box{box_mesh({60, 40, 30}), tilt * at(0, 0, 15)};
    CHECK_FALSE(balanced(box, {plane}).possible);
    const double tangent = std::tan(slope * pi / 180);
    CHECK_FALSE(balanced(box, {plane}, 0.9 * tangent).possible);
    const Balance stays = balanced(box, {plane}, 1.1 * tangent);
    REQUIRE(stays.possible);
    // derived: the centre is 15 above the plane, so that its plumb line meets it 15 tan off the middle; half a width is
    // 30 along the slope, seen from above cos times that; across it is 20
    const double along = (30 - 15 * tangent) * std::cos(slope * pi / 180);
    CHECK(stays.inside_mm == Approx(std::min(20.0, along)).margin(0.3));
  }
}

TEST_CASE("a stop on the low side holds a box on a slope without friction") {
  const Pose tilt = turned(10, Vector3d::UnitY());  // x goes down
  const Thing plane{box_mesh({200, 200, 20}), tilt * at(0, 0, -10)}, box{box_mesh({60, 40, 30}), tilt * at(0, 0, 15)};
  const Thing stop{box_mesh({10, 60, 60}), tilt * at(35, 0, 0)};
  const Balance found = balanced(box, {plane, stop});
  CHECK(found.possible);
  CHECK(found.inside_mm > 10);
}

TEST_CASE("a bar lies in a V as long as its centre is between the V's ends") {
  // two cheeks at 45 degrees, 80 long in y; the bar of radius 15 lies along y with its axis at the origin
  std::vector<Thing> block;
  for (const double tilt : {-45.0, 45.0})
    block.push_back({box_mesh({60, 80, 10}), turned(tilt, Vector3d::UnitY()) * at(0, 0, -20)});
  for (const double about : {0.0, 1.0, 2.8, 4.1}) {  // however its facets stand
    Thing bar{cylinder_mesh(15, 200), turned(90, Vector3d::UnitX()) * turned(about, Vector3d::UnitZ())};
    const Balance middle = balanced(bar, block);
    INFO(about);
    REQUIRE(middle.possible);
    CHECK(middle.inside_mm >= 0);
    CHECK(middle.inside_mm < 3);  // no more than a facet: it can roll
    bar.pose.translation() = Vector3d(0, 50, 0);
    CHECK(balanced(bar, block).inside_mm == Approx(-10).margin(0.3));
  }
}

TEST_CASE("a bar on a flat table may roll: its facets tell no better") {
  const Thing bar{cylinder_mesh(15, 100), at(0, 0, 15) * turned(90, Vector3d::UnitX())};
  const auto found = pressing_contacts(bar.placed(), table.placed(), depth);
  const Balance lies = balance(found.points, bar.pose.translation(), 0);
  REQUIRE(lies.possible);
  CHECK(lies.inside_mm <= found.resolution_mm);
}

TEST_CASE("a bar upright in a nest with walls around it stands on the floor") {
  const std::vector<Thing> nest{
      table, {box_mesh({20, 60, 30}), at(-25, 0, 15)}, {box_mesh({20, 60, 30}), at(25, 0, 15)}};
  const Balance found = balanced({cylinder_mesh(15, 80), at(0, 0, 40)}, nest);
  CHECK(found.inside_mm >= 14);
}

TEST_CASE("a box on its edge in a V rests there on faces") {
  std::vector<Thing> block;
  for (const double tilt : {-45.0, 45.0})
    block.push_back({box_mesh({80, 80, 10}), turned(tilt, Vector3d::UnitY()) * at(0, 0, -25)});
  // a square bar of 40: its lower faces are 20 from its axis
  const Balance found = balanced({box_mesh({40, 100, 40}), turned(45, Vector3d::UnitY())}, block);
  REQUIRE(found.possible);
  CHECK(found.inside_mm > 5);
}

TEST_CASE("a box with its lower edges on a wide V rests on the edges") {
  // cheeks at 30 degrees to the level; the box's lower edges at x = +-20, z = -10 touch them
  std::vector<Thing> block;
  for (const double side : {-1.0, 1.0}) {
    const Pose tilt = turned(-side * 30, Vector3d::UnitY());
    const Vector3d touch(side * 20, 0, -10);
    block.push_back({box_mesh({30, 60, 10}), at(touch.x(), 0, touch.z()) * tilt * at(0, 0, -5)});
  }
  const auto points = contacts({box_mesh({40, 100, 20})}, block);
  CHECK(points.size() >= 4);
  const Balance found = balance(points, Vector3d::Zero(), 0);
  REQUIRE(found.possible);
  CHECK(found.inside_mm > -1e-6);
}

namespace {

constexpr int footprint_steps = 200;

/// The support function of footprints: places where box and support overlap, sampled.
struct Footprint {
  std::vector<Vector2d> points;
  long double inside(const Vector2d& centre) const {
    long double least = std::numeric_limits<long double>::infinity();
    for (int k = 0; k < 720; ++k) {
      const long double angle = 2 * 3.14159265358979323846L * k / 720, x = std::cos(angle), y = std::sin(angle);
      long double reach = -std::numeric_limits<long double>::infinity();
      for (const Vector2d& point : points)
        reach = std::max(reach, x * (point.x() - centre.x()) + y * (point.y() - centre.y()));
      least = std::min(least, reach);
    }
    return least;
  }
};

/// Over a support that is `grown` mm larger on each side.
bool on_top(const Thing& support, const Vector3d& size, const Vector2d& point, double grown) {
  const Vector3d here = support.pose.inverse() * Vector3d(point.x(), point.y(), 0);
  return std::abs(here.x()) <= size.x() / 2 + grown && std::abs(here.y()) <= size.y() / 2 + grown;
}

/// Samples of the box's floor, from edge to edge, that lie over grown supports.
Footprint footprint_of(const Thing& box, const Vector3d& size, const std::vector<Thing>& supports,
                       const std::vector<Vector3d>& sizes, double grown) {
  Footprint footprint;
  for (int i = 0; i <= footprint_steps; ++i)
    for (int k = 0; k <= footprint_steps; ++k) {
      const Vector3d inside((static_cast<double>(i) / footprint_steps - 0.5) * size.x(),
                            (static_cast<double>(k) / footprint_steps - 0.5) * size.y(), 0);
      const Vector2d point = (box.pose.linear() * inside).head<2>();
      for (std::size_t s = 0; s < supports.size(); ++s)
        if (on_top(supports[s], sizes[s], point, grown)) {
          footprint.points.push_back(point);
          break;
        }
    }
  return footprint;
}

}  // namespace

TEST_CASE("random boxes on random supports: as far within or past the edge as their footprints say") {
  random_geometry::Engine engine(2008);
  const int cases = std::getenv("CELLPROOF_LONG") != nullptr ? 150 : 15;
  using random_geometry::between;
  for (int n = 0; n < cases; ++n) {
    const Vector3d size(between(engine, 20, 120), between(engine, 20, 120), between(engine, 10, 60));
    const Thing box{box_mesh(size), at(0, 0, size.z() / 2) * turned(between(engine, 0, 360), Vector3d::UnitZ())};
    std::vector<Thing> supports;
    std::vector<Vector3d> sizes;
    for (int k = 0; k < 1 + static_cast<int>(engine() % 4); ++k) {
      sizes.emplace_back(between(engine, 5, 60), between(engine, 5, 60), 20);
      const double height = between(engine, -0.4, 0.4);  // all within the depth
      supports.push_back({box_mesh(sizes.back()), at(between(engine, -60, 60), between(engine, -60, 60), height - 10) *
                                                      turned(between(engine, 0, 360), Vector3d::UnitZ())});
    }
    INFO("case " << n);
    const Balance found = balanced(box, supports);
    // The samples over the supports lie within the footprint, and each place of it is near one over grown supports.
    const double near = size.head<2>().norm() / 2 / footprint_steps;
    const Footprint within = footprint_of(box, size, supports, sizes, 0);
    if (within.points.size() < 100) continue;  // nothing, or a sliver that the samples do not tell
    const Footprint around = footprint_of(box, size, supports, sizes, near);
    constexpr double between_angles = 0.5;  // mm: 110 mm times half of half a degree
    REQUIRE(found.possible);
    CHECK(found.inside_mm >= static_cast<double>(within.inside(Vector2d::Zero())) - between_angles);
    CHECK(found.inside_mm <= static_cast<double>(around.inside(Vector2d::Zero())) + near);
  }
}
