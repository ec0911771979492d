// SPDX-License-Identifier: GPL-3.0-or-later
// One wedge written by hand in every format and unit comes in as the same part. The wedge: a right triangle with legs
// of 40 along x and 30 along z, 20 deep along y, in mm. Volume 40·30/2·20 = 12000 mm³ (elementary).
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <unistd.h>

#include "scene/mesh_import.hpp"
#include "tests/support/stored_zip.hpp"

using namespace cellproof;
namespace fs = std::filesystem;

namespace {

const std::vector<Vector3d> points = {{0, 0, 0}, {40, 0, 0}, {0, 0, 30}, {0, 20, 0}, {40, 20, 0}, {0, 20, 30}};
const std::vector<Triangle> triangles = {{0, 1, 2}, {3, 5, 4}, {0, 3, 4}, {0, 4, 1},
                                         {1, 4, 5}, {1, 5, 2}, {0, 2, 5}, {0, 5, 3}};

class TestFile {
 public:
  TestFile(const std::string& ending, const std::string& content)
      : path_(fs::temp_directory_path() / fmt::format("cellproof-format-{}{}", ::getpid(), ending)) {
    std::ofstream(path_, std::ios::binary) << content;
  }
  TestFile(const TestFile&) = delete;
  TestFile& operator=(const TestFile&) = delete;
  ~TestFile() {
    std::error_code ignored;
    fs::remove(path_, ignored);
  }
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

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

/// 3MF core specification: a model part with its unit, the wedge as object 1 and what more is given, and one of the
/// objects built, which may be placed.
std::string threemf(double unit_mm, const std::string& unit, const std::string& transform,
                    const std::string& more_objects = "", int built = 1) {
  std::string model = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model {}xml:lang=\"en-US\" "
      "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><resources><object id=\"1\" "
      "type=\"model\"><mesh><vertices>",
      unit.empty() ? "" : fmt::format("unit=\"{}\" ", unit));
  for (const auto& p : points)
    model += fmt::format("<vertex x=\"{:.9g}\" y=\"{:.9g}\" z=\"{:.9g}\"/>", p.x() / unit_mm, p.y() / unit_mm,
                         p.z() / unit_mm);
  model += "</vertices><triangles>";
  for (const auto& t : triangles) model += fmt::format("<triangle v1=\"{}\" v2=\"{}\" v3=\"{}\"/>", t[0], t[1], t[2]);
  model += fmt::format("</triangles></mesh></object>{}</resources><build><item objectid=\"{}\" {}/></build></model>",
                       more_objects, built, transform.empty() ? "" : fmt::format("transform=\"{}\"", transform));
  return test::stored_zip(
      {{"[Content_Types].xml",
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><Types xmlns=\"http://schemas.openxmlformats.org/package/2006/"
        "content-types\"><Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package."
        "relationships+xml\"/><Default Extension=\"model\" ContentType=\"application/vnd.ms-package."
        "3dmanufacturing-3dmodel+xml\"/></Types>"},
       {"_rels/.rels",
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><Relationships "
        "xmlns=\"http://schemas.openxmlformats.org/package/2006/"
        "relationships\"><Relationship Target=\"/3D/3dmodel.model\" Id=\"rel0\" Type=\"http://schemas.microsoft.com/"
        "3dmanufacturing/2013/01/3dmodel\"/></Relationships>"},
       {"3D/3dmodel.model", model}});
}

/// glTF 2.0, binary container: metres, +Y up, so that the drawing's (x, y, z) stands as (x, z, -y).
std::string glb() {
  std::string buffer;
  for (const auto& t : triangles)
    for (const auto i : t) test::put_number(buffer, i, 4);
  for (const auto& p : points)
    for (const double value : {p.x(), p.z(), -p.y()}) {
      const auto metres = static_cast<float>(value / 1000);
      std::uint32_t bits = 0;
      std::memcpy(&bits, &metres, 4);
      test::put_number(buffer, bits, 4);
    }
  const std::size_t indices = 12 * triangles.size();
  std::string json = fmt::format(
      R"({{"asset":{{"version":"2.0"}},"scene":0,"scenes":[{{"nodes":[0]}}],"nodes":[{{"mesh":0}}],)"
      R"("meshes":[{{"primitives":[{{"attributes":{{"POSITION":1}},"indices":0}}]}}],"buffers":[{{"byteLength":{}}}],)"
      R"("bufferViews":[{{"buffer":0,"byteOffset":0,"byteLength":{}}},{{"buffer":0,"byteOffset":{},"byteLength":{}}}],)"
      R"("accessors":[{{"bufferView":0,"componentType":5125,"count":{},"type":"SCALAR"}},)"
      R"({{"bufferView":1,"componentType":5126,"count":{},"type":"VEC3","min":[0,0,-0.02],"max":[0.04,0.03,0]}}]}})",
      buffer.size(), indices, indices, buffer.size() - indices, 3 * triangles.size(), points.size());
  while (json.size() % 4 != 0) json += ' ';
  std::string file = "glTF";
  test::put_number(file, 2, 4);
  test::put_number(file, static_cast<std::uint32_t>(12 + 8 + json.size() + 8 + buffer.size()), 4);
  test::put_number(file, static_cast<std::uint32_t>(json.size()), 4);
  file += "JSON" + json;
  test::put_number(file, static_cast<std::uint32_t>(buffer.size()), 4);
  file += std::string("BIN\0", 4) + buffer;
  return file;
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

TEST_CASE("a 3MF's build item is placed where the file says, in the file's unit") {
  check_wedge(".3mf", threemf(25.4, "inch", "1 0 0 0 1 0 0 0 1 2 3 4"), 1, 25.4 * Vector3d(2, 3, 4));
}

TEST_CASE("torn and damaged files of every format are refused or read, never a crash") {
  std::mt19937 engine(20);
  const std::vector<std::pair<std::string, std::string>> whole = {
      {".stl", stl(1)}, {".obj", obj(1)}, {".ply", ply(1)}, {".glb", glb()}, {".3mf", threemf(25.4, "inch", "")}};
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

TEST_CASE("a 3MF whose few components stand for millions of triangles is refused") {
  // Given object k made of two of object k - 1, the last of 21 holds 2^20 wedges.
  std::string doubled;
  for (int k = 2; k <= 21; ++k)
    doubled += fmt::format(R"(<object id="{0}" type="model"><components><component objectid="{1}"/><component )"
                           R"(objectid="{1}"/></components></object>)",
                           k, k - 1);
  check_refused(".3mf", threemf(1, "millimeter", "", doubled, 21), "can't be read as 3MF");
}
