// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_import.hpp"

#include <atomic>
#include <cstring>
#include <fstream>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;
namespace fs = std::filesystem;

namespace {

/// A folder of its own that goes with the test.
class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / fmt::format("mesh-import-{}", std::random_device{}())) {
    fs::create_directories(path_);
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  fs::path write(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return path_ / name;
  }
  fs::path operator/(const std::string& name) const { return path_ / name; }

 private:
  fs::path path_;
};

std::string ascii_stl(const Mesh& mesh) {
  std::string text = "solid thing\n";
  for (const Triangle& triangle : mesh.triangles) {
    text += "facet normal 0 0 0\n outer loop\n";
    for (const std::uint32_t i : triangle)
      text += fmt::format("  vertex {} {} {}\n", mesh.vertices[i].x(), mesh.vertices[i].y(), mesh.vertices[i].z());
    text += " endloop\nendfacet\n";
  }
  return text + "endsolid thing\n";
}

template <class T>
void append(std::string& bytes, T value) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  bytes.append(raw, sizeof value);
}

std::string binary_stl(const Mesh& mesh) {
  std::string bytes(80, ' ');
  append(bytes, static_cast<std::uint32_t>(mesh.triangles.size()));
  for (const Triangle& triangle : mesh.triangles) {
    for (int i = 0; i < 3; ++i) append(bytes, 0.0F);
    for (const std::uint32_t i : triangle)
      for (int axis = 0; axis < 3; ++axis) append(bytes, static_cast<float>(mesh.vertices[i][axis]));
    append(bytes, std::uint16_t{0});
  }
  return bytes;
}

std::string quad_obj() {
  return "# a box of 2 by 4 by 6\n"
         "v -1 -2 -3\nv 1 -2 -3\nv 1 2 -3\nv -1 2 -3\nv -1 -2 3\nv 1 -2 3\nv 1 2 3\nv -1 2 3\n"
         "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
}

}  // namespace

TEST_CASE("A box comes back from text STL, binary STL and OBJ, welded and closed, in every unit") {
  const Folder folder;
  const Mesh box = box_mesh({2, 4, 6});
  const auto [unit, name] = GENERATE(table<double, std::string>({{1.0, "mm"}, {25.4, "inch"}, {1000.0, "metre"}}));
  for (const fs::path& file : {folder.write("text.stl", ascii_stl(box)), folder.write("binary.STL", binary_stl(box)),
                               folder.write("quads.obj", quad_obj())}) {
    CAPTURE(file, name);
    const auto read = import_mesh(file, unit);
    REQUIRE(read);
    CHECK(read->mesh.vertices.size() == 8);
    CHECK(read->mesh.triangles.size() == 12);
    CHECK(read->degenerate_dropped == 0);
    CHECK(closedness(read->mesh).closed);
    CHECK(solid_properties(read->mesh).volume == Approx(48 * unit * unit * unit));
    CHECK(box_of(read->mesh).high == Vector3d(1 * unit, 2 * unit, 3 * unit));
    CHECK(read->mesh.deviation.outside == 0);
  }
}

TEST_CASE("Two solids in one text STL are one mesh of two shells") {
  const Folder folder;
  Mesh far = box_mesh({1, 1, 1});
  for (Vector3d& vertex : far.vertices) vertex.x() += 10;
  const auto read = import_mesh(folder.write("two.stl", ascii_stl(box_mesh({1, 1, 1})) + ascii_stl(far)), 1);
  REQUIRE(read);
  CHECK(shells(read->mesh).count == 2);
  CHECK(solid_properties(read->mesh).volume == Approx(2));
}

TEST_CASE("A larger mesh keeps its volume and closes after a trip through single precision") {
  const Folder folder;
  const Mesh sphere = sphere_mesh(30);
  const auto read = import_mesh(folder.write("sphere.stl", binary_stl(sphere)), 1);
  REQUIRE(read);
  CHECK(read->mesh.triangles.size() == sphere.triangles.size());
  CHECK(read->mesh.vertices.size() == sphere.vertices.size());
  CHECK(closedness(read->mesh).closed);
  CHECK(solid_properties(read->mesh).volume == Approx(solid_properties(sphere).volume).epsilon(1e-6));
}

TEST_CASE("Triangles without area are dropped and counted") {
  const Vector3d a(0, 0, 0), b(1, 0, 0), c(0, 1, 0), middle(0.5, 0, 0);
  const ImportedMesh welded = weld({a, b, c, a, a, b, a, b, middle, b, b, b});
  CHECK(welded.mesh.triangles.size() == 1);
  CHECK(welded.mesh.vertices.size() == 3);
  CHECK(welded.degenerate_dropped == 3);
}

TEST_CASE("A narrow triangle that has an area stays") {
  CHECK(weld({{0, 0, 0}, {1000, 0, 0}, {500, 1e-4, 0}}).mesh.triangles.size() == 1);
  CHECK(weld({{0, 0, 0}, {1e-6, 0, 0}, {0, 1e-6, 0}}).mesh.triangles.size() == 1);
}

TEST_CASE("Zero and minus zero are one position") {
  const ImportedMesh welded = weld({{0.0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {-0.0, -0.0, 0}, {0, 1, 0}, {-1, 0, -0.0}});
  CHECK(welded.mesh.vertices.size() == 4);
}

TEST_CASE("Positions that differ by the last bit stay apart") {
  const double next = std::nextafter(1.0, 2.0);
  CHECK(weld({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 0}, {next, 0, 0}, {0, 1, 0}}).mesh.vertices.size() == 4);
}

TEST_CASE("What can't be a mesh is refused with a sentence") {
  const Folder folder;
  const auto says = [](const fs::path& file) {
    const auto read = import_mesh(file, 1);
    REQUIRE_FALSE(read);
    return read.error();
  };
  using Catch::Matchers::Contains;
  CHECK_THAT(says(folder / "nowhere.stl"), Contains("does not exist") && Contains("nowhere.stl"));
  CHECK_THAT(says(folder / ""), Contains("is not a file"));
  CHECK_THAT(says(folder.write("part.xyz", "1 2 3")), Contains("stl") && Contains("3mf"));
  CHECK_THAT(says(folder.write("void.stl", "")), Contains("is empty"));
  CHECK_THAT(says(folder.write("words.stl",
                               "this is no mesh at all, it only has the ending of one, and it goes on so "
                               "long that it could be one")),
             Contains("can't be read"));
  CHECK_THAT(says(folder.write("flat.obj", "v 0 0 0\nv 1 0 0\nv 2 0 0\nf 1 2 3\n")), Contains("no triangles"));
  CHECK_THAT(says(folder.write("none.stl", "solid none\nendsolid none\n")), Contains("none.stl"));
  Mesh broken = box_mesh({1, 1, 1});
  broken.vertices[3].y() = std::numeric_limits<double>::quiet_NaN();
  CHECK_THAT(says(folder.write("nan.stl", binary_stl(broken))), Contains("not a finite number"));
  broken.vertices[3].y() = std::numeric_limits<double>::infinity();
  CHECK_THAT(says(folder.write("infinite.stl", binary_stl(broken))), Contains("not a finite number"));
}

TEST_CASE("A binary STL cut off anywhere is refused") {
  const Folder folder;
  const std::string whole = binary_stl(box_mesh({2, 4, 6}));
  for (std::size_t length = 1; length < whole.size(); length += 7) {
    CAPTURE(length);
    CHECK_FALSE(import_mesh(folder.write("cut.stl", whole.substr(0, length)), 1));
  }
}

TEST_CASE("Files cut off or overwritten anywhere are read or refused and never more") {
  const Folder folder;
  random_geometry::Engine engine(4);
  const std::vector<std::pair<std::string, std::string>> samples = {
      {"a.stl", ascii_stl(box_mesh({2, 4, 6}))}, {"b.stl", binary_stl(box_mesh({2, 4, 6}))}, {"c.obj", quad_obj()}};
  int refused = 0, finite = 0;
  for (const auto& [name, whole] : samples)
    for (int i = 0; i < 150; ++i) {
      std::string bytes = whole.substr(0, 1 + engine() % whole.size());
      for (int k = 0; k < i % 5; ++k) bytes[engine() % bytes.size()] = static_cast<char>(engine() % 256);
      const auto read = import_mesh(folder.write(name, bytes), 1);
      if (!read)
        ++refused;
      else if (box_of(read->mesh).low.allFinite() && box_of(read->mesh).high.allFinite())
        ++finite;
    }
  CHECK(refused + finite == 450);
  CHECK(refused > 150);
}
