// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/free_travel.hpp"

#include <cstdlib>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double none = std::numeric_limits<double>::infinity();

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

/// An independent answer: straight ahead meshes meet with a corner on a face or an edge on an edge. Each such meeting
/// is a linear system of its own.
class MeetingOracle {
 public:
  MeetingOracle(const Mesh& a, const Pose& a_in_world, const Mesh& b, const Pose& b_in_world, const Vector3d& along)
      : a_(placed(a, a_in_world)), b_(placed(b, b_in_world)), along_(along) {}

  double first() const {
    double least = none;
    for (const auto& facet : b_)
      for (const auto& other : a_) {
        for (int i = 0; i < 3; ++i) {
          least = std::min({least, onto_face(other.col(i), along_, facet), onto_face(facet.col(i), -along_, other)});
          for (int j = 0; j < 3; ++j) least = std::min(least, edge_on_edge(other, i, facet, j));
        }
      }
    return least;
  }

 private:
  static std::vector<Eigen::Matrix3d> placed(const Mesh& mesh, const Pose& pose) {
    std::vector<Eigen::Matrix3d> facets;
    for (const auto& triangle : mesh.triangles) {
      Eigen::Matrix3d facet;
      for (int i = 0; i < 3; ++i) facet.col(i) = pose * mesh.vertices[triangle[static_cast<std::size_t>(i)]];
      facets.push_back(facet);
    }
    return facets;
  }
  /// corner + t way = f0 + u (f1 - f0) + v (f2 - f0)
  static double onto_face(const Vector3d& corner, const Vector3d& way, const Eigen::Matrix3d& face) {
    Eigen::Matrix3d system;
    system << face.col(1) - face.col(0), face.col(2) - face.col(0), -way;
    if (std::abs(system.determinant()) < 1e-12) return none;
    const Vector3d found = system.inverse() * (corner - face.col(0));
    return found[0] >= 0 && found[1] >= 0 && found[0] + found[1] <= 1 && found[2] >= 0 ? found[2] : none;
  }
  /// p + u e + t along = q + v f
  double edge_on_edge(const Eigen::Matrix3d& mine, int i, const Eigen::Matrix3d& theirs, int j) const {
    const Vector3d e = mine.col((i + 1) % 3) - mine.col(i), f = theirs.col((j + 1) % 3) - theirs.col(j);
    Eigen::Matrix3d system;
    system << e, -f, along_;
    if (std::abs(system.determinant()) < 1e-12) return none;
    const Vector3d found = system.inverse() * (theirs.col(j) - mine.col(i));
    return found[0] >= 0 && found[0] <= 1 && found[1] >= 0 && found[1] <= 1 && found[2] >= 0 ? found[2] : none;
  }

  std::vector<Eigen::Matrix3d> a_, b_;
  Vector3d along_;
};

}  // namespace

TEST_CASE("a pad goes up to a wall that it meets flat, and not a thousandth of a millimetre further") {
  const Solid pad(box_mesh({10, 20, 20})), wall(box_mesh({30, 200, 200}));
  // The wall's face at x = 85, the pad's own at x = 5.
  const double travel = free_travel(pad, at(0, 0, 0), wall, at(100, 0, 0), {200, 0, 0});
  CHECK(travel < 80);
  CHECK(travel > 80 - 1e-3);
  // Turned about the way by 10 deg, whatever lies beside it.
  Pose turned = at(0, 3, -7);
  turned.rotate(Eigen::AngleAxisd(radians(10), Vector3d::UnitX()));
  CHECK(free_travel(pad, turned, wall, at(100, 0, 0), {200, 0, 0}) == Approx(80).margin(1e-3));
}

TEST_CASE("what is not in the way is not met, and the way ends where it ends") {
  const Solid pad(box_mesh({10, 20, 20})), wall(box_mesh({30, 200, 200}));
  CHECK(free_travel(pad, at(0, 0, 0), wall, at(100, 0, 0), {-200, 0, 0}) == 200);   // away from it
  CHECK(free_travel(pad, at(0, 0, 0), wall, at(100, 0, 0), {50, 0, 0}) == 50);      // short of it
  CHECK(free_travel(pad, at(0, 120, 0), wall, at(100, 0, 0), {200, 0, 0}) == 200);  // beside it, 10 mm off
  CHECK(free_travel(pad, at(0, 0, 0), wall, at(100, 0, 0), {79.99, 0, 0}) == 79.99);
  CHECK(free_travel(pad, at(0, 0, 0), wall, at(100, 0, 0), {1e6, 0, 0}) == Approx(80).margin(1e-3));
}

TEST_CASE("what touches, cuts or lies within from the start goes nowhere") {
  const Solid pad(box_mesh({10, 20, 20})), wall(box_mesh({30, 200, 200})), pin(box_mesh({2, 2, 2}));
  CHECK(free_travel(pad, at(80, 0, 0), wall, at(100, 0, 0), {50, 0, 0}) == 0);
  CHECK(free_travel(pad, at(80, 0, 0), wall, at(100, 0, 0), {-50, 0, 0}) == 0);  // away, but touching
  CHECK(free_travel(pad, at(90, 0, 0), wall, at(100, 0, 0), {-50, 0, 0}) == 0);
  CHECK(free_travel(pin, at(100, 0, 0), wall, at(100, 0, 0), {50, 0, 0}) == 0);
  CHECK(free_travel(wall, at(100, 0, 0), pin, at(100, 0, 0), {50, 0, 0}) == 0);
}

TEST_CASE("a round bar is met on its line, wherever a flat pad comes from") {
  const Solid pad(box_mesh({10, 40, 40})), bar(cylinder_mesh(15, 100));
  const double inscribed = bar.mesh().deviation.outside;  // the facets lie so far within the true circle
  for (const double y : {0.0, 4.0, -9.0}) {
    const double travel = free_travel(pad, at(0, y, 0), bar, at(60, 0, 0), {100, 0, 0});
    CHECK(travel >= 60 - 15 - 5 - 1e-3);
    CHECK(travel <= 60 - 15 - 5 + inscribed);
  }
}

TEST_CASE("a way that grazes a wall within a thousandth counts as met, one that keeps off it does not") {
  const Solid pad(box_mesh({10, 10, 10})), wall(box_mesh({300, 10, 300}));
  CHECK(free_travel(pad, at(-400, 10, 0), wall, at(0, 0, 0), {800, 0, 0}) == Approx(245).margin(1e-3));  // slides on it
  CHECK(free_travel(pad, at(-400, 10.01, 0), wall, at(0, 0, 0), {800, 0, 0}) == 800);
}

TEST_CASE("random shapes meet where corners meet faces or edges meet edges") {
  random_geometry::Engine engine(20261130);
  const int cases = std::getenv("CELLPROOF_LONG") != nullptr ? 4000 : 400;
  int met = 0;
  for (int i = 0; i < cases; ++i) {
    const double flatness = i % 3 == 0 ? 0.02 : 1;
    const Solid a(random_geometry::tetrahedron(engine, 20, flatness)), b(random_geometry::tetrahedron(engine, 30));
    const Vector3d along = random_geometry::direction(engine);
    const Pose b_in_world = random_geometry::pose(engine, 5);
    Pose a_in_world = random_geometry::pose(engine, 25);
    a_in_world.pretranslate(-150 * along);  // clear of the other
    const double first = std::min(300.0, MeetingOracle(a.mesh(), a_in_world, b.mesh(), b_in_world, along).first());
    const double travel = free_travel(a, a_in_world, b, b_in_world, 300 * along);
    INFO(i);
    CHECK(travel <= first * (1 + 1e-12));
    // A way that passes by within a thousandth is met there: rarer than one in thousands.
    CHECK(travel > first - 0.05);
    if (first < 300) ++met;
  }
  CHECK(met > cases / 3);
}
