// SPDX-License-Identifier: GPL-3.0-or-later
// What OBJ, PLY and STL files may hold beside plain triangles, and what is refused. Files written by hand.
#include <cstring>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/files/mesh_import.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;
using test::TestFile;

namespace {

Mesh read(const char* ending, const std::string& content) {
  const TestFile file(ending, content);
  auto imported = import_mesh(file.path(), 1);
  INFO(content.substr(0, 400));
  if (!imported) FAIL(imported.error());
  return imported->mesh;
}

void check_refused(const char* ending, const std::string& content, const std::string& why) {
  const TestFile file(ending, content);
  const auto imported = import_mesh(file.path(), 1);
  INFO(content.substr(0, 400));
  REQUIRE_FALSE(imported);
  CHECK_THAT(imported.error(), Catch::Matchers::Contains(why) && Catch::Matchers::Contains(file.path().string()));
}

const std::string cube_corners = "v 0 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\nv 0 0 2\nv 2 0 2\nv 2 2 2\nv 0 2 2\n";

void check_cube(const Mesh& mesh) {
  CHECK(mesh.vertices.size() == 8);
  CHECK(mesh.triangles.size() == 12);
  CHECK(closedness(mesh).closed);
  CHECK(solid_properties(mesh).volume == Approx(8));
}

std::string ply_cube_text(const std::string& more_vertex = "", const std::string& more_face = "") {
  std::string text =
      "ply\nformat ascii 1.0\nelement vertex 8\nproperty double x\nproperty double y\nproperty double z\n" +
      std::string(more_vertex.empty() ? "" : "property uchar red\n") + "element face 6\n" +
      std::string(more_face.empty() ? "" : "property float quality\n") +
      "property list uchar uint vertex_index\nend_header\n";
  for (int i = 0; i < 8; ++i) text += fmt::format("{} {} {}{}\n", 2 * (i & 1), i & 2, (i & 4) / 2, more_vertex);
  for (const char* face : {"0 2 3 1", "4 5 7 6", "0 1 5 4", "2 6 7 3", "0 4 6 2", "1 3 7 5"})
    text += fmt::format("{}4 {}\n", more_face, face);
  return text;
}

const std::string stl_facet =
    "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n";

}  // namespace

TEST_CASE("An OBJ may hold names, materials, texture, comments, continued lines and negative numbers") {
  check_cube(read(".obj", "# a cube\nmtllib a.mtl\no cube\ng sides\n" + cube_corners +
                              "vt 0 0\nvn 0 0 1\nusemtl steel\ns off\n"
                              "f 4/1/1 3/1/1 2/1/1 1/1/1\nf 5//1 6//1 7//1 8//1\nf 1/1 2/1 6/1 5/1 # front\n"
                              "f 2 3 \\\n  7 6\nf -6 -5 -1 -2\nf +4 1 5 8\nl 1 2\np 3\n"));
}

TEST_CASE("An OBJ's vertices may have weights and colours, and come after the faces that ask for them") {
  check_cube(read(".obj",
                  "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n"
                  "v 0 0 0 1\nv 4 0 0 2\nv 2 2 0 0.5 0.5 0.5\nv 0 2 0\nv 0 0 2\nv 2 0 2\nv 2 2 2\nv 0 2 2\n"));
}

TEST_CASE("Line ends of any system make no difference to a text") {
  const std::string obj = cube_corners + "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 \\\n7 6\nf 3 4 8 7\nf 4 1 5 8\n";
  for (const std::string line_end : {"\n", "\r\n", "\r"}) {
    const auto ended = [&](const std::string& text) {
      std::string result;
      for (const char c : text) result += c == '\n' ? line_end : std::string(1, c);
      return result;
    };
    check_cube(read(".obj", ended(obj)));
    check_cube(read(".ply", ended(ply_cube_text())));
    CHECK(read(".stl", ended("solid a b c\n" + stl_facet + "endsolid a b c\n")).triangles.size() == 1);
  }
}

TEST_CASE("What an OBJ says wrong is refused with its line") {
  check_refused(".obj", cube_corners + "f 1 2 9\n", "line 9: a face asks for vertex 9");
  check_refused(".obj", cube_corners + "f 1 2 -9\n", "line 9");
  check_refused(".obj", cube_corners + "f 1 0 2\n", "'0' of a face names no vertex");
  check_refused(".obj", cube_corners + "f 1 2\n", "a face has 2 corners");
  check_refused(".obj", cube_corners + "f\n", "a face has 0 corners");
  check_refused(".obj", cube_corners + "f 1 2 x\n", "names no vertex");
  check_refused(".obj", cube_corners + "f 1 2 3.0\n", "names no vertex");
  check_refused(".obj", "v 0 0\n" + cube_corners + "f 1 2 3\n", "line 1: a vertex has 2 numbers");
  check_refused(".obj", "v 0 0,5 0\n" + cube_corners + "f 1 2 3\n", "line 1: '0,5' of a vertex is not a number");
  check_refused(".obj", "v 0 0 inf\n" + cube_corners + "f 1 2 3\n", "not a finite number");
  check_refused(".obj", cube_corners + "f 1 2 3\nw 1 2 3\n", "line 10: 'w' begins no statement");
  check_refused(".obj", cube_corners + "f 1 2 3\nsurf 0 1 0 1 1 2 3 4\n", "export it as polygons");
  check_refused(".obj", cube_corners, "it has no faces");
}

TEST_CASE("A PLY may hold other properties and elements, comments, polygons and strips") {
  check_cube(read(".ply", ply_cube_text()));
  check_cube(read(".ply", ply_cube_text(" 200", "0.5 ")));
  const std::string strips =
      "ply\nformat ascii 1.0\nobj_info none\nelement camera 1\nproperty float f\nproperty list int float p\n"
      "element vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement tristrips 1\n"
      "property list int int vertex_indices\nend_header\n1.5 2 3 4\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n8 0 2 1 3 -1 2 0 3\n";
  const Mesh some = read(".ply", strips);
  CHECK(some.triangles.size() == 3);
  CHECK(closedness(some).open_edges == 3);  // the three fit, one side of the tetrahedron is open
}

TEST_CASE("What a PLY says wrong is refused") {
  const std::string head =
      "ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\n"
      "element face 1\nproperty list uchar int vertex_indices\nend_header\n";
  const std::string corners = "0 0 0\n1 0 0\n0 1 0\n";
  CHECK(read(".ply", head + corners + "3 0 1 2\n").triangles.size() == 1);
  check_refused(".ply", head + corners + "3 0 1 3\n", "asks for vertex 3");
  check_refused(".ply", head + corners + "3 0 1 -1\n", "asks for a vertex that there is none");
  check_refused(".ply", head + corners + "3 0 1 1.5\n", "asks for a vertex that there is none");
  check_refused(".ply", head + corners + "2 0 1\n", "a face has 2 corners");
  check_refused(".ply", head + corners + "3 0 1\n", "before all its elements");
  check_refused(".ply", head + corners, "before all its elements");
  check_refused(".ply", head + corners + "3 0 1 2\n3 0 2 1\n", "more than the elements");
  check_refused(".ply", head + corners + "3 0 1 2 1\n", "face 0: its line holds more");
  check_refused(".ply", head + "0 0 0\n1 0 x\n0 1 0\n3 0 1 2\n", "vertex 1: a number is missing");
  check_refused(".ply", head + "0 0 0\n1 0\n0 1 0\n3 0 1 2\n", "vertex 1: a number is missing");
  check_refused(".ply", head + "0 0 0 7\n1 0 0\n0 1 0\n3 0 1 2\n", "vertex 0: its line holds more");
  check_refused(".ply", head + "0 0 0\nnan 0 0\n0 1 0\n3 0 1 2\n", "not a finite number");
  check_refused(".ply", head + corners + "3 0 1 2", "ends within a line");
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = head + corners + "3 0 1 2\n";
    return text.replace(text.find(from), from.size(), to);
  };
  check_refused(".ply", changed("float z", "float w"), "have not x, y and z");
  check_refused(".ply", changed("float z", "real z"), "is not understood");
  check_refused(".ply", changed("ascii 1.0", "ascii 2.0"), "version 1.0");
  check_refused(".ply", changed("ascii", "utf8"), "its format 'utf8' is none");
  check_refused(".ply", changed("vertex_indices", "corners"), "no list of vertex_indices");
  check_refused(".ply", changed("format ascii 1.0\n", ""), "names no format");
}

TEST_CASE("A binary PLY cut off anywhere is refused") {
  std::string bytes =
      "ply\nformat binary_little_endian 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\n"
      "element face 1\nproperty list uchar uchar vertex_indices\nend_header\n";
  for (const float number : {0.F, 0.F, 0.F, 1.F, 0.F, 0.F, 0.F, 1.F, 0.F}) {
    char raw[4];
    std::memcpy(raw, &number, 4);
    bytes.append(raw, 4);
  }
  bytes.append("\3\0\1\2", 4);
  CHECK(read(".ply", bytes).triangles.size() == 1);  // an open one, whose last byte is no line end
  CHECK(read(".ply", bytes + "\n").triangles.size() == 1);
  for (std::size_t length = 1; length < bytes.size(); ++length) {
    const TestFile file(".ply", bytes.substr(0, length));
    CHECK_FALSE(import_mesh(file.path(), 1));
  }
}

TEST_CASE("A text STL cut off anywhere before its endsolid is refused, whatever its normals say") {
  const std::string whole = "SOLID a\n" + stl_facet + "  facet normal -nan(ind) nan 1e5\nOUTER LOOP\n" +
                            "vertex 0 0 0\nvertex 0 1 0\nvertex 0 0 1\nendloop endfacet\nendsolid";
  CHECK(read(".stl", whole).triangles.size() == 2);
  for (std::size_t length = 1; length < whole.size(); ++length) {
    const TestFile file(".stl", whole.substr(0, length));
    CHECK_FALSE(import_mesh(file.path(), 1));
  }
  check_refused(".stl", "solid a\n" + stl_facet, "ends before its endsolid");
}

TEST_CASE("What a text STL says wrong is refused with its line") {
  const auto changed = [](const std::string& from, const std::string& to) {
    std::string text = "solid a\n" + stl_facet + "endsolid\n";
    return text.replace(text.find(from), from.size(), to);
  };
  check_refused(".stl", changed("vertex 0 1 0\n", ""), "line 6: a facet has 2 vertices");
  check_refused(".stl", changed("endloop", "vertex 1 1 0\nendloop"), "a facet has 4 vertices");
  check_refused(".stl", changed("1 0 0", "1 0"), "'' of a vertex is not a number");
  check_refused(".stl", changed("1 0 0", "1 0 0x1"), "'0x1' of a vertex is not a number");
  check_refused(".stl", changed("endfacet\n", ""), "line 8: 'endsolid' is out of place");
  check_refused(".stl", changed("1 0 0", "1 0 nan"), "not a finite number");
  check_refused(".stl", "solid a\nendsolid a\n", "no facets");
}
