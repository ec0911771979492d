// SPDX-License-Identifier: GPL-3.0-or-later
// STEP files come in with their size, unit, placements and names. Volumes and areas of simple bodies are elementary
// formulas.
#include <cmath>
#include <random>

#include <catch2/catch.hpp>

#include "tests/support/cad_files.hpp"
#include "tests/support/step_text.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

struct Known {
  std::string name, add, cut;
  double volume, area;
  Vector3d half;  ///< of its box, about the origin
};

std::vector<Known> known_bodies() {
  const double cone_side = std::hypot(20 - 8, 30);
  return {{"box", R"({"box": [20, 30, 40]})", "", 24000, 5200, {10, 15, 20}},
          {"cylinder",
           R"({"cylinder": {"radius": 15, "height": 40}})",
           "",
           pi * 225 * 40,
           2 * pi * 15 * 40 + 2 * pi * 225,
           {15, 15, 20}},
          {"cone",
           R"({"cone": {"radius": 20, "top_radius": 8, "height": 30}})",
           "",
           pi * 30 / 3 * (400 + 20 * 8 + 64),
           pi * (20 + 8) * cone_side + pi * (400 + 64),
           {20, 20, 15}},
          {"pointed cone",
           R"({"cone": {"radius": 20, "top_radius": 0, "height": 30}})",
           "",
           pi * 400 * 30 / 3,
           pi * 20 * std::hypot(20, 30) + pi * 400,
           {20, 20, 15}},
          {"sphere", R"({"sphere": {"radius": 25}})", "", 4. / 3 * pi * 15625, 4 * pi * 625, {25, 25, 25}},
          {"torus",
           R"({"torus": {"radius": 30, "tube": 8}})",
           "",
           2 * pi * pi * 30 * 64,
           4 * pi * pi * 30 * 8,
           {38, 38, 8}},
          {"drilled plate",
           R"({"box": [80, 60, 10]})",
           R"({"cylinder": {"radius": 12, "height": 30}})",
           48000 - pi * 144 * 10,
           2 * (4800 - pi * 144) + 2 * 10 * (80 + 60) + 2 * pi * 12 * 10,
           {40, 30, 5}},
          {"slotted plate",
           R"({"extrude": {"outline": [[-40, -20, 5], [40, -20, 5], [40, 20, 5], [-40, 20, 5]],
               "holes": [[[-20, -6, 6], [20, -6, 6], [20, 6, 6], [-20, 6, 6]]], "from": -3, "to": 3}})",
           "",
           6 * (80 * 40 - (4 - pi) * 25 - (28 * 12 + pi * 36)),
           2 * (80 * 40 - (4 - pi) * 25 - (28 * 12 + pi * 36)) + 6 * (2 * (70 + 30) + 2 * pi * 5 + 2 * 28 + 2 * pi * 6),
           {40, 20, 3}}};
}

}  // namespace

TEST_CASE("bodies of known size come in from STEP with their volume, area and box, within the stated deviation") {
  const CadFolder folder;
  for (const Known& known : known_bodies())
    for (const double deviation : {0.5, 0.05, 0.02}) {
      INFO(known.name << ", deviation " << deviation);
      const Mesh mesh = mesh_of_step(folder.write("a.step", step_of_pieces(known.add, known.cut)), deviation);
      CHECK(closedness(mesh).closed);
      CHECK(shells(mesh).count == 1);
      CHECK(mesh.deviation.outside <= deviation);
      CHECK(mesh.deviation.inside <= deviation);
      // derived: a layer over the whole surface, as thick as the deviation
      const double layer = std::max(mesh.deviation.outside, mesh.deviation.inside) * known.area;
      CHECK(std::abs(solid_properties(triangles_only(mesh)).volume - known.volume) <= 1.1 * layer);
      CHECK(surface_area(triangles_only(mesh)) == Approx(known.area).epsilon(deviation / 4));
      const Box box = box_of(mesh);
      CHECK((box.high - known.half).cwiseAbs().maxCoeff() <= deviation);
      CHECK((box.low + known.half).cwiseAbs().maxCoeff() <= deviation);
    }
}

TEST_CASE("a STEP solid's volume, area and centroid are those of its surfaces, not of its triangles") {
  const CadFolder folder;
  for (const Known& known : known_bodies()) {
    INFO(known.name);
    const Mesh mesh = mesh_of_step(folder.write("a.step", step_of_pieces(known.add, known.cut)), 0.5);
    REQUIRE(mesh.exact);
    CHECK(solid_properties(mesh).volume == Approx(known.volume).epsilon(1e-6));
    CHECK(surface_area(mesh) == Approx(known.area).epsilon(1e-6));
  }
  // elementary: a ball's moment of inertia is 2/5 m r²; 25 is its radius, (1, 2, 3) its middle
  const Mesh ball = mesh_of_step(
      folder.write("ball.step", step_of_pieces(R"({"sphere": {"radius": 25}, "at": {"xyz": [1, 2, 3]}})")), 0.5);
  const SolidProperties properties = solid_properties(ball);
  CHECK((properties.centroid - Vector3d(1, 2, 3)).norm() < 1e-6);
  const double moment = 0.4 * 625 * 4. / 3 * pi * 15625;
  CHECK((properties.inertia - moment * Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff() < 1e-6 * moment);
}

TEST_CASE("no point of a STEP ball, bore or ring is further from the triangles than they state") {
  const CadFolder folder;
  // The distance of a triangle's points from the true surface, by the surface's own formula.
  const auto strays = [](const Mesh& mesh, const auto& distance_out) {
    Deviation most;
    std::mt19937_64 random(5);
    std::uniform_real_distribution<double> unit(0, 1);
    for (const auto& [a, b, c] : mesh.triangles)
      for (int i = 0; i < 20; ++i) {
        double u = unit(random), v = unit(random);
        if (u + v > 1) u = 1 - u, v = 1 - v;
        const Vector3d at =
            mesh.vertices[a] + u * (mesh.vertices[b] - mesh.vertices[a]) + v * (mesh.vertices[c] - mesh.vertices[a]);
        const double out = distance_out(at);  // how far the surface lies outside of the point
        most.outside = std::max(most.outside, out);
        most.inside = std::max(most.inside, -out);
      }
    return most;
  };
  const Mesh ball = mesh_of_step(folder.write("a.step", step_of_pieces(R"({"sphere": {"radius": 25}})")), 0.1);
  const Deviation of_ball = strays(ball, [](const Vector3d& p) { return 25 - p.norm(); });
  CHECK(of_ball.outside <= ball.deviation.outside);
  CHECK(of_ball.inside <= ball.deviation.inside);
  CHECK(ball.deviation.inside < 0.001);  // a ball's triangles lie inside it
  const Mesh ring =
      mesh_of_step(folder.write("b.step", step_of_pieces(R"({"torus": {"radius": 30, "tube": 8}})")), 0.1);
  const Deviation of_ring =
      strays(ring, [](const Vector3d& p) { return 8 - std::hypot(std::hypot(p.x(), p.y()) - 30, p.z()); });
  CHECK(of_ring.outside <= ring.deviation.outside);
  CHECK(of_ring.inside <= ring.deviation.inside);
  CHECK(ring.deviation.inside > 0.01);  // on its inner half they lie outside
  const Mesh box = mesh_of_step(folder.write("c.step", step_of_pieces(R"({"box": [20, 30, 40]})")), 0.1);
  CHECK(box.deviation.outside < 1e-6);
  CHECK(box.deviation.inside < 1e-6);
}

TEST_CASE("a STEP file's unit is the one that it states, an inch over metres being an inch") {
  const CadFolder folder;
  for (const LengthUnit& unit : length_units()) {
    INFO(unit.name);
    const Mesh mesh = mesh_of_step(folder.write("block.stp", block_step(unit, {2, 3, 5})));
    const Box box = box_of(mesh);
    CHECK(box.low.norm() < 1e-9 * unit.mm);
    CHECK((box.high - unit.mm * Vector3d(2, 3, 5)).norm() < 1e-9 * unit.mm);
    CHECK(solid_properties(mesh).volume == Approx(30 * std::pow(unit.mm, 3)).epsilon(1e-9));
    CHECK(mesh.triangles.size() == 12);
    CHECK(closedness(mesh).closed);
  }
}

TEST_CASE("a STEP file without a unit of length is refused") {
  const CadFolder folder;
  const auto mesh = import_step({folder.write("block.step", block_step({"none", {}, 1}, {2, 3, 5})), 0.05, ""});
  REQUIRE_FALSE(mesh);
  CHECK(mesh.error().what.find("unit") != std::string::npos);
}

TEST_CASE("what the helper writes comes back, in every schema and unit") {
  const CadFolder folder;
  for (const char* schema : {"AP203", "AP214", "AP242"})
    for (const char* unit : {"mm", "cm", "m", "in"}) {
      INFO(schema << " " << unit);
      const std::string text =
          step_of_pieces(R"({"box": [20, 30, 40], "at": {"xyz": [1, 2, 3], "quat": [0.5, 0.5, 0.5, 0.5]}})",
                         R"({"sphere": {"radius": 5}, "at": {"xyz": [1, 2, 3]}})",
                         {fmt::format("--schema={}", schema), fmt::format("--unit={}", unit)});
      const Mesh mesh = mesh_of_step(folder.write("a.step", text), 0.01);
      // derived: the turn sends x to y, y to z and z to x; the ball is a hollow inside
      CHECK((box_of(mesh).high - Vector3d(1 + 20, 2 + 10, 3 + 15)).norm() < 1e-6);
      CHECK((box_of(mesh).low - Vector3d(1 - 20, 2 - 10, 3 - 15)).norm() < 1e-6);
      CHECK(solid_properties(mesh).volume == Approx(24000 - 4. / 3 * pi * 125).epsilon(1e-6));
      CHECK(shells(mesh).count == 2);
    }
}

TEST_CASE("the helper writes the same bytes every time") {
  const std::string piece = R"({"cylinder": {"radius": 15, "height": 40}})";
  CHECK(step_of_pieces(piece) == step_of_pieces(piece));
}

TEST_CASE("an assembly's instances come in where it places them, and each can be had alone by its name") {
  const CadFolder folder;
  StepText step(length_units()[0]);
  const auto bolt = step.product("bolt", "ADVANCED_BREP_SHAPE_REPRESENTATION", {step.block("Body", {2, 3, 5})});
  const auto plate = step.product("plate", "ADVANCED_BREP_SHAPE_REPRESENTATION", {step.block("", {50, 40, 1})});
  const auto whole = step.product("fixture", "SHAPE_REPRESENTATION", {});
  step.place(bolt, whole, "left", {10, 0, 0}, {0, 0, 1}, {1, 0, 0});
  step.place(bolt, whole, "right", {30, 0, 0}, {1, 0, 0}, {0, 1, 0});
  step.place(plate, whole, "below", {0, 0, -20}, {0, 0, 1}, {1, 0, 0});
  const fs::path file = folder.write("fixture.step", step.text());

  const Mesh all = mesh_of_step(file);
  CHECK(shells(all).count == 3);
  CHECK(closedness(all).closed);
  CHECK(solid_properties(all).volume == Approx(2 * 30 + 2000));
  CHECK((box_of(all).low - Vector3d(0, 0, -20)).norm() < 1e-9);
  CHECK((box_of(all).high - Vector3d(50, 40, 5)).norm() < 1e-9);

  const Box left = box_of(mesh_of_step(file, 0.05, "bolt 1"));
  CHECK((left.low - Vector3d(10, 0, 0)).norm() < 1e-9);
  CHECK((left.high - Vector3d(12, 3, 5)).norm() < 1e-9);
  // derived: its x along y, its z along x, so its y along z
  const Box right = box_of(mesh_of_step(file, 0.05, "bolt 2"));
  CHECK((right.low - Vector3d(30, 0, 0)).norm() < 1e-9);
  CHECK((right.high - Vector3d(35, 2, 3)).norm() < 1e-9);
  CHECK(solid_properties(mesh_of_step(file, 0.05, "plate")).volume == Approx(2000));

  const auto none = import_step({file, 0.05, "bolt"});
  REQUIRE_FALSE(none);
  for (const char* name : {"'bolt 1'", "'bolt 2'", "'plate'"}) CHECK(none.error().what.find(name) != std::string::npos);
}

TEST_CASE("solids of one product go by their own names") {
  const CadFolder folder;
  StepText step(length_units()[0]);
  const int first = step.block("left half", {2, 3, 5}), second = step.block("right half", {4, 3, 5});
  step.product("halves", "ADVANCED_BREP_SHAPE_REPRESENTATION", {first, second});
  const fs::path file = folder.write("halves.step", step.text());
  CHECK(solid_properties(mesh_of_step(file, 0.05, "left half")).volume == Approx(30));
  CHECK(solid_properties(mesh_of_step(file, 0.05, "right half")).volume == Approx(60));
}

TEST_CASE("two solids that touch stay closed, each by itself") {
  const CadFolder folder;
  StepText step(length_units()[0]);
  const auto block = step.product("block", "ADVANCED_BREP_SHAPE_REPRESENTATION", {step.block("", {2, 3, 5})});
  const auto whole = step.product("pair", "SHAPE_REPRESENTATION", {});
  step.place(block, whole, "a", {0, 0, 0}, {0, 0, 1}, {1, 0, 0});
  step.place(block, whole, "b", {2, 0, 0}, {0, 0, 1}, {1, 0, 0});
  const Mesh mesh = mesh_of_step(folder.write("pair.step", step.text()));
  CHECK(closedness(mesh).closed);
  CHECK(shells(mesh).count == 2);
}

TEST_CASE("the three schemas' names in a file's head make no difference") {
  const CadFolder folder;
  StepText step(length_units()[0]);
  step.product("block", "ADVANCED_BREP_SHAPE_REPRESENTATION", {step.block("", {2, 3, 5})});
  for (const char* schema : {"CONFIG_CONTROL_DESIGN", "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }",
                             "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF. {1 0 10303 442 1 1 4 }"}) {
    INFO(schema);
    CHECK(solid_properties(mesh_of_step(folder.write("a.step", step.text(schema)))).volume == Approx(30));
  }
}

TEST_CASE("a deviation too fine for the size of a model is refused, not tried") {
  const CadFolder folder;
  const auto mesh = import_step({folder.write("a.step", step_of_pieces(R"({"sphere": {"radius": 1e6}})")), 0.05, ""});
  REQUIRE_FALSE(mesh);
  CHECK(mesh.error().what.find("too large for a deviation of 0.05 mm") != std::string::npos);
}
