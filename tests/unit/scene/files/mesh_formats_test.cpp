// SPDX-License-Identifier: GPL-3.0-or-later
// One wedge written by hand in every format and unit comes in as the same part. The wedge: a right triangle with legs
// of 40 along x and 30 along z, 20 deep along y, in mm. Volume 40·30/2·20 = 12000 mm³ (elementary).
#include <random>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/files/mesh_import.hpp"
#include "scene/model_store.hpp"
#include "tests/support/cad_files.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;

namespace {

using test::glb;
using test::TestFile;
using test::threemf;
const auto& points = test::wedge_points;
const auto& triangles = test::wedge_triangles;

std::string stl(double unit_mm) {
  std::string text = "solid wedge\n";
  for (const auto& t : triangles) {
    text += "facet normal 0 0 0\nouter loop\n";
    for (const auto i : t)
      text += fmt::format("vertex {:.9g} {:.9g} {:.9g}\n", points[i].x() / unit_mm, points[i].y() / unit_mm,
                          points[i].z() / unit_mm);
    text += "endloop\nendfacet\n";
  }
  return text + "endsolid wedge\n";
}

std::string obj(double unit_mm) {
  std::string text;
  for (const auto& p : points)
    text += fmt::format("v {:.9g} {:.9g} {:.9g}\n", p.x() / unit_mm, p.y() / unit_mm, p.z() / unit_mm);
  for (const auto& t : triangles) text += fmt::format("f {} {} {}\n", t[0] + 1, t[1] + 1, t[2] + 1);
  return text;
}

std::string ply(double unit_mm) {
  std::string text = fmt::format(
      "ply\nformat ascii 1.0\nelement vertex {}\nproperty float x\nproperty float y\nproperty float z\n"
      "element face {}\nproperty list uchar int vertex_indices\nend_header\n",
      points.size(), triangles.size());
  for (const auto& p : points)
    text += fmt::format("{:.9g} {:.9g} {:.9g}\n", p.x() / unit_mm, p.y() / unit_mm, p.z() / unit_mm);
  for (const auto& t : triangles) text += fmt::format("3 {} {} {}\n", t[0], t[1], t[2]);
  return text;
}

void check_wedge(const std::string& ending, const std::string& content, double unit_mm,
                 const Vector3d& shift = Vector3d::Zero()) {
  INFO(ending << " in units of " << unit_mm << " mm");
  const TestFile file(ending, content);
  const auto imported = import_mesh(file.path(), unit_mm);
  if (!imported) FAIL(imported.error());
  const Mesh& mesh = imported->mesh;
  CHECK(mesh.vertices.size() == 6);
  CHECK(closedness(mesh).closed);
  CHECK(solid_properties(mesh).volume == Approx(12000).epsilon(1e-5));
  const Box box = box_of(mesh);
  CHECK((box.low - shift).norm() < 1e-3);
  CHECK((box.high - shift - Vector3d(40, 20, 30)).norm() < 1e-3);
}

}  // namespace

TEST_CASE("a part is the same from every format and in every unit") {
  for (const double unit_mm : {1.0, 25.4, 1000.0}) {
    check_wedge(".stl", stl(unit_mm), unit_mm);
    check_wedge(".obj", obj(unit_mm), unit_mm);
    check_wedge(".ply", ply(unit_mm), unit_mm);
  }
  check_wedge(".glb", glb(), 1);
  check_wedge(".3mf", threemf(1, "", ""), 1);  // no unit said: millimetres
  check_wedge(".3mf", threemf(1, "millimeter", ""), 1);
  check_wedge(".3mf", threemf(25.4, "inch", ""), 1);
  check_wedge(".3mf", threemf(1000, "meter", ""), 1);
  check_wedge(".3mf", threemf(304.8, "foot", ""), 1);
  check_wedge(".3mf", threemf(10, "centimeter", ""), 1);
  check_wedge(".3mf", threemf(0.001, "micron", ""), 1);
}

TEST_CASE("a part is the same as STEP and from every mesh format: box, volume, area and clearance") {
  const test::CadFolder folder;
  folder.write("wedge.step", test::step_of_pieces(R"({"polyhedron": {
      "points": [[0, 0, 0], [40, 0, 0], [0, 0, 30], [0, 20, 0], [40, 20, 0], [0, 20, 30]],
      "faces": [[0, 1, 2], [3, 5, 4], [0, 3, 4, 1], [1, 4, 5, 2], [0, 2, 5, 3]]}})"));
  folder.write("wedge.stl", stl(1));
  folder.write("wedge.obj", obj(25.4));
  folder.write("wedge.ply", ply(1000));
  folder.write("wedge.glb", glb());
  folder.write("wedge.3mf", threemf(25.4, "inch", ""));
  std::vector<ModelRequest> requests = {{SphereShape{25}}};
  const std::pair<const char*, double> sources[] = {{"wedge.step", 0},   {"wedge.stl", 1}, {"wedge.obj", 25.4},
                                                    {"wedge.ply", 1000}, {"wedge.glb", 0}, {"wedge.3mf", 0}};
  for (const auto& [file, unit_mm] : sources) {
    MeshSource source;
    source.file = file;
    if (unit_mm > 0) source.unit_mm = unit_mm;
    requests.push_back({source});
  }
  const auto opened = open_models(requests, folder / ".");
  for (const auto& model : opened)
    if (!model) FAIL(model.error().what);
  constexpr double far = std::numeric_limits<double>::infinity();
  const Solid& ball = *opened[0]->solid;
  random_geometry::Engine engine(5);
  std::vector<Pose> poses;
  for (int i = 0; i < 20; ++i) poses.push_back(random_geometry::pose(engine, 150));
  for (std::size_t i = 1; i < opened.size(); ++i) {
    INFO(sources[i - 1].first);
    const Solid& wedge = *opened[i]->solid;
    CHECK(box_of(wedge.mesh()).low.norm() < 1e-4);
    CHECK((box_of(wedge.mesh()).high - Vector3d(40, 20, 30)).norm() < 1e-4);
    CHECK(solid_properties(wedge.mesh()).volume == Approx(12000).epsilon(1e-5));
    CHECK(surface_area(wedge.mesh()) == Approx(20 * (40 + 30 + 50) + 40 * 30).epsilon(1e-5));  // 3-4-5 triangle
    CHECK(wedge.mesh().deviation.outside < 1e-6);
    for (const Pose& pose : poses) {
      const double first = nearest(ball, pose, *opened[1]->solid, Pose::Identity(), far).distance;
      CHECK(nearest(ball, pose, wedge, Pose::Identity(), far).distance == Approx(first).margin(1e-4));
    }
  }
}

TEST_CASE("a 3MF's build item is placed where the file says, in the file's unit") {
  check_wedge(".3mf", threemf(25.4, "inch", "1 0 0 0 1 0 0 0 1 2 3 4"), 1, 25.4 * Vector3d(2, 3, 4));
}

TEST_CASE("torn and damaged files of every format are refused or read, never a crash") {
  std::mt19937 engine(20);
  const std::vector<std::pair<std::string, std::string>> whole = {
      {".stl", stl(1)},
      {".obj", obj(1)},
      {".ply", ply(1)},
      {".glb", glb()},
      {".3mf", threemf(25.4, "inch", "")},
      {".gltf", test::gltf_json("\"uri\":\"data:;base64," + test::base64(test::gltf_buffer()) + "\",")}};
  for (const auto& [ending, content] : whole) {
    int refused = 0;
    for (int i = 0; i < 300; ++i) {
      std::string damaged = content;
      if (i % 2 == 0)
        damaged.resize(engine() % content.size());
      else
        for (int k = 0; k < 4; ++k) damaged[engine() % damaged.size()] = static_cast<char>(engine() % 256);
      const TestFile file(ending, damaged);
      const auto imported = import_mesh(file.path(), 1);
      if (imported)
        CHECK(!imported->mesh.triangles.empty());
      else
        CHECK(imported.error().find(file.path().string()) != std::string::npos);
      refused += imported ? 0 : 1;
    }
    INFO(ending);
    CHECK(refused > 0);
  }
}

namespace {

/// A format's content under another ending: refused, as it would come in by the wrong unit.
void check_refused(const std::string& ending, const std::string& content, const std::string& why) {
  INFO(ending);
  const TestFile file(ending, content);
  const auto imported = import_mesh(file.path(), 1);
  REQUIRE_FALSE(imported);
  CHECK_THAT(imported.error(), Catch::Matchers::Contains(why));
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("an OBJ that is cut off within a line is refused, one that only lacks its last line end is not") {
  const std::string whole = obj(1);
  const std::size_t faces = whole.find("f ");
  for (std::size_t length = faces + 7; length < whole.size() - 1; ++length) {
    const TestFile file(".obj", whole.substr(0, length));
    const bool at_line_end = whole[length - 1] == '\n';
    INFO(length);
    CHECK(import_mesh(file.path(), 1).has_value() == at_line_end);  // told by its open edges then
  }
  const TestFile file(".obj", whole.substr(0, whole.size() - 1));
  CHECK(import_mesh(file.path(), 1).has_value());
}

TEST_CASE("a file that is another format than its ending says is refused") {
  check_refused(".glb", stl(1), "no GLB file");
  check_refused(".glb", threemf(25.4, "inch", ""), "no GLB file");
  check_refused(".gltf", stl(1), "no glTF file");
  check_refused(".ply", stl(1), "no PLY file");
  check_refused(".3mf", stl(1), "no 3MF file");
}

TEST_CASE("a PLY that claims more than it holds is refused before memory is taken for it") {
  check_refused(".ply", replaced(ply(1), "element vertex 6", "element vertex 200000000"), "before all its elements");
  check_refused(".ply", replaced(ply(1), "element face 8", "element face 99999999999999999999"), "before all its");
  const std::string whole = ply(1);
  check_refused(".ply", whole.substr(0, whole.size() - 8), "before all its elements");  // "3 0 5 3\n" is 8 bytes
  check_refused(".pLy", whole.substr(0, 60), "header has no end");
}

TEST_CASE("a 3MF in a unit that is none is refused, not taken for millimetres") {
  check_refused(".3mf", threemf(1, "furlong", ""), "can't be read as 3MF");
}
