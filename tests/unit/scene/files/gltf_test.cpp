// SPDX-License-Identifier: GPL-3.0-or-later
// glTF 2.0 by hand: where its bytes lie, how nodes place a mesh, and what is refused instead of a smaller mesh.
#include <chrono>
#include <fstream>

#include <catch2/catch.hpp>

#include "scene/files/mesh_import.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;
using Catch::Matchers::Contains;
using test::gltf_buffer;
using test::gltf_json;
using test::TestFile;

namespace {

constexpr double wedge_volume = 12000;  // mm³, elementary

Mesh imported(const std::string& ending, const std::string& content) {
  const TestFile file(ending, content);
  auto read = import_mesh(file.path(), 1);
  if (!read) FAIL(read.error());
  return std::move(read->mesh);
}

std::string refusal(const std::string& ending, const std::string& content) {
  const TestFile file(ending, content);
  const auto begun = std::chrono::steady_clock::now();
  const auto read = import_mesh(file.path(), 1);
  CHECK(std::chrono::steady_clock::now() - begun < std::chrono::seconds(30));  // a hang ends the test
  REQUIRE_FALSE(read);
  CHECK_THAT(read.error(), Contains(file.path().string()));
  return read.error();
}

/// The wedge's GLB with nodes of its own, the first of which is the scene's.
std::string with_nodes(const std::string& nodes) {
  return test::glb_of(gltf_json("", nodes), gltf_buffer());
}

std::string with_change(const std::string& from, const std::string& to) {
  std::string json = gltf_json("");
  const std::size_t at = json.find(from);
  REQUIRE(at != std::string::npos);
  return test::glb_of(json.replace(at, from.size(), to), gltf_buffer());
}

}  // namespace

TEST_CASE("a glTF's bytes may stand in its text or in a file beside it") {
  const std::string in_text =
      gltf_json("\"uri\":\"data:application/octet-stream;base64," + test::base64(gltf_buffer()) + "\",");
  CHECK(solid_properties(imported(".gltf", in_text)).volume == Approx(wedge_volume));

  const TestFile beside(" wedge.bin", gltf_buffer());
  std::string name = beside.path().filename().string();
  name.replace(name.find(' '), 1, "%20");
  CHECK(solid_properties(imported(".gltf", gltf_json("\"uri\":\"" + name + "\","))).volume == Approx(wedge_volume));

  CHECK_THAT(refusal(".gltf", gltf_json("\"uri\":\"nowhere.bin\",")),
             Contains("buffers[0]") && Contains("nowhere.bin"));
  CHECK_THAT(refusal(".gltf", gltf_json("\"uri\":\"data:;base64,AA*A\",")), Contains("no base64"));
  CHECK_THAT(refusal(".gltf", gltf_json("\"uri\":\"data:;base64,AAAA\",")), Contains("168 bytes, but only 3"));
}

TEST_CASE("a node's scale is kept, its turn and shift are applied after it") {
  // Given the wedge scaled by 2, 3, 4 in glTF's axes, turned a quarter about its +Y and shifted 1 m along its +Y,
  const Mesh mesh = imported(".glb", with_nodes(R"([{"mesh":0,"scale":[2,3,4],"rotation":[0,0.7071067811865476,0,)"
                                                R"(0.7071067811865476],"translation":[0,1,0]}])"));
  // then its volume is 24 times as large; x (80) has become glTF's -Z, our +y, and z begins at 1000.
  CHECK(solid_properties(mesh).volume == Approx(24 * wedge_volume));
  CHECK((box_of(mesh).low - Vector3d(-80, 0, 1000)).norm() < 1e-3);
  CHECK((box_of(mesh).high - Vector3d(0, 80, 1090)).norm() < 1e-3);
}

TEST_CASE("a mirrored node stays right side out") {
  CHECK(solid_properties(imported(".glb", with_nodes(R"([{"mesh":0,"scale":[-1,1,1]}])"))).volume ==
        Approx(wedge_volume));
  CHECK(solid_properties(imported(".glb", with_nodes(R"([{"mesh":0,"matrix":[1,0,0,0,0,1,0,0,0,0,-1,0,0,0,0,1]}])")))
            .volume == Approx(wedge_volume));
}

TEST_CASE("nodes hang on nodes") {
  const Mesh mesh = imported(".glb", with_nodes(R"([{"children":[1,2],"translation":[1,0,0]},{"mesh":0},)"
                                                R"({"mesh":0,"translation":[1,0,0]}])"));
  CHECK(shells(mesh).count == 2);
  CHECK(box_of(mesh).low.x() == Approx(1000));
  CHECK(box_of(mesh).high.x() == Approx(2040));
}

TEST_CASE("strips and fans come in as triangles of one side") {
  // Given a square of four corners in glTF's xz plane, as a strip, as a fan and as two triangles,
  std::string buffer;
  for (const float value : {0.F, 0.F, 0.F, 0.F, 0.F, 1.F, 1.F, 0.F, 0.F, 1.F, 0.F, 1.F}) {
    std::uint32_t bits = 0;
    std::memcpy(&bits, &value, 4);
    test::put_number(buffer, bits, 4);
  }
  for (const std::uint32_t i : {0U, 1U, 3U, 2U, 0U, 1U, 2U, 2U, 1U, 3U}) test::put_number(buffer, i, 1);
  const auto square = [&](const std::string& primitive) {
    return imported(
        ".glb",
        test::glb_of(
            R"({"asset":{"version":"2.0"},"scenes":[{"nodes":[0]}],"nodes":[{"mesh":0}],"meshes":[{"primitives":)"
            R"([{"attributes":{"POSITION":0},)" +
                primitive +
                R"(}]}],"buffers":[{"byteLength":58}],"bufferViews":[{"buffer":0,"byteLength":58}],"accessors":)"
                R"([{"bufferView":0,"componentType":5126,"count":4,"type":"VEC3"},)"
                R"({"bufferView":0,"byteOffset":48,"componentType":5121,"count":4,"type":"SCALAR"},)"
                R"({"bufferView":0,"byteOffset":52,"componentType":5121,"count":6,"type":"SCALAR"}]})",
            buffer));
  };
  // then each has an area of 1 m², whose normals all point along our +z.
  for (const std::string primitive : {R"("mode":5)", R"("mode":6,"indices":1)", R"("indices":2)"}) {
    CAPTURE(primitive);
    const Mesh mesh = square(primitive);
    CHECK(mesh.triangles.size() == 2);
    CHECK(surface_area(mesh) == Approx(1e6));
    for (const auto& [a, b, c] : mesh.triangles)
      CHECK((mesh.vertices[b] - mesh.vertices[a]).cross(mesh.vertices[c] - mesh.vertices[a]).z() > 0);
  }
}

TEST_CASE("triangles that a glTF can't have are refused with their place, never left out") {
  std::string buffer = gltf_buffer();
  buffer[0] = 6;  // the first index; positions are 0 to 5
  CHECK_THAT(refusal(".glb", test::glb_of(gltf_json(""), buffer)),
             Contains("primitives[0] asks for position 6, but has 6"));
  CHECK_THAT(refusal(".glb", with_change("\"count\":24", "\"count\":25")),
             Contains("accessors[0] reaches past the end"));
  CHECK_THAT(refusal(".glb", with_change("\"count\":24", "\"count\":23")), Contains("23 corners"));
  CHECK_THAT(refusal(".glb", with_change("\"count\":24", "\"count\":-3")),
             Contains("accessors[0] has a count that is no"));
  CHECK_THAT(refusal(".glb", with_change("\"count\":6", "\"count\":5")), Contains("asks for position 5, but has 5"));
  CHECK_THAT(refusal(".glb", with_change("\"byteOffset\":96", "\"byteOffset\":100")), Contains("bufferViews[1]"));
  CHECK_THAT(refusal(".glb", with_change("5126", "5130")), Contains("accessors[1] has a componentType"));
  CHECK_THAT(refusal(".glb", with_change("5125", "5126")), Contains("accessors[0] holds indices"));
  CHECK_THAT(refusal(".glb", with_change("VEC3", "VEC2")), Contains("accessors[1] is not of type VEC3"));
  CHECK_THAT(refusal(".glb", with_change("\"indices\":0", "\"indices\":7")), Contains("accessors[7]"));
  CHECK_THAT(refusal(".glb", with_change("\"POSITION\"", "\"POSTION\"")), Contains("no positions"));
  CHECK_THAT(refusal(".glb", with_change("\"mesh\":0", "\"mesh\":1")), Contains("meshes[1]"));
  CHECK_THAT(refusal(".glb", with_change("\"version\":\"2.0\"", "\"version\":\"1.0\"")), Contains("glTF 1.0"));
  CHECK_THAT(
      refusal(".glb", with_change("{\"asset\"", "{\"extensionsRequired\":[\"KHR_draco_mesh_compression\"],\"asset\"")),
      Contains("KHR_draco_mesh_compression"));
  CHECK_THAT(refusal(".glb", with_nodes(R"([{"mesh":0,"skin":0}])")), Contains("skin"));
  CHECK_THAT(refusal(".glb", with_nodes(R"([{"mesh":0,"rotation":[0,0,1]}])")), Contains("rotation of 3 numbers"));
  CHECK_THAT(refusal(".glb", with_nodes(R"([{"mesh":0,"scale":[1,"2",1]}])")), Contains("no number"));
}

TEST_CASE("a glTF whose scene is empty has no triangles") {
  CHECK_THAT(refusal(".glb", with_nodes(R"([{"name":"nothing"}])")), Contains("no triangles"));
  CHECK_THAT(refusal(".gltf", R"({"asset":{"version":"2.0"}})"), Contains("scenes[0]"));
}

TEST_CASE("nodes that hang on themselves or on two others are refused, long chains are read") {
  CHECK_THAT(refusal(".glb", with_nodes(R"([{"children":[0]}])")), Contains("nodes[0] hangs on two nodes"));
  // Given each of 60 nodes twice below the one before, 2^60 ways down,
  std::string shared = "[", chain = "[";
  for (int i = 0; i < 60; ++i) shared += fmt::format(R"({{"children":[{0},{0}]}},)", i + 1);
  CHECK_THAT(refusal(".glb", with_nodes(shared + R"({"mesh":0}])")), Contains("hangs on two nodes"));
  // given 100,000 nodes below one another, then the last one's mesh is read.
  for (int i = 0; i < 100'000; ++i) chain += fmt::format(R"({{"children":[{}]}},)", i + 1);
  CHECK(imported(".glb", with_nodes(chain + R"({"mesh":0}])")).triangles.size() == 8);
}

TEST_CASE("brackets without end are refused") {
  for (const std::string bracket : {"[", "{\"a\":"}) {
    std::string json = R"({"asset":{"version":"2.0"},"extras":)";
    for (int i = 0; i < 200'000; ++i) json += bracket;
    CHECK_THAT(refusal(".gltf", json), Contains("nested more than 100 deep"));
  }
}

TEST_CASE("a glTF that places a mesh more often than memory holds is refused") {
  // Given 520,000 nodes of 8 triangles: 4.16 million.
  std::string nodes = R"([{"children":[)";
  constexpr int count = 520'000;
  for (int i = 1; i < count; ++i) nodes += fmt::format("{},", i);
  nodes += fmt::format("{}]}}", count);
  for (int i = 1; i <= count; ++i) nodes += R"(,{"mesh":0})";
  CHECK_THAT(refusal(".glb", with_nodes(nodes + "]")), Contains("more than 4 million triangles"));
}
