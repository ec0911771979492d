// SPDX-License-Identifier: GPL-3.0-or-later
// A body inside a mesh with a hole, and meshes drawn far off: small cells whose answers are plain.
#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "tests/support/mesh_files.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;
using Catch::Matchers::Contains;

namespace {

/// The flange stands at (790, 0, 1070) and looks down; the hand hangs from z 1030 to 1050.
const std::string hand = head + body_text("hand", "flange", "{ xyz = [0, 0, 30] }", "box = [20, 20, 20]");
const std::string start = cycle_from("0, 0, 0, 0, -90, 0");
const std::string stand = "[[step]]\nname = \"stand\"\nwait = \"1 s\"\n";

/// A body of the surroundings from a mesh.
std::string mesh_body(const std::string& file, const std::string& at) {
  return body_text("crate", "world", at, fmt::format("mesh = \"{}\"\nmesh_unit = \"mm\"", file));
}

/// A cube of side 400 that lacks as many of its last triangles; the last face of the cube is the one at +z or -z.
Mesh crate_without(std::size_t triangles) {
  Mesh mesh = box_mesh({400, 400, 400});
  mesh.triangles.resize(mesh.triangles.size() - triangles);
  return mesh;
}

const std::string around_hand = "{ xyz = [790, 0, 1040] }";

}  // namespace

TEST_CASE("a hand inside a crate that lacks a triangle fails, also where the crate is drawn inside out or patchy") {
  const ModelFolder folder;
  Mesh patchy = crate_without(1);
  std::swap(patchy.triangles[2][0], patchy.triangles[2][1]);
  patchy.triangles.push_back(patchy.triangles[5]);
  const std::vector<std::pair<std::string, Mesh>> crates = {{"torn.obj", crate_without(1)},
                                                            {"turned.obj", inside_out(crate_without(1))},
                                                            {"patchy.obj", patchy},
                                                            {"whole.obj", crate_without(0)}};
  for (const auto& [name, mesh] : crates) {
    CAPTURE(name);
    const Proof proof = proved(hand + mesh_body(folder.write(name, mesh), around_hand) + start + stand);
    const auto fails = fails_of(proof.report, "clearance");
    REQUIRE(fails.size() == 1);
    CHECK_FALSE(proof.report.pass);
    CHECK(std::is_permutation(fails[0].between.begin(), fails[0].between.end(),
                              std::vector<std::string>{"hand", "crate"}.begin()));
    CHECK(fails[0].judged->measured == 0.0);
  }
}

TEST_CASE("a hand inside a crate without a wall passes with a caution, as it may be an enclosure's skin") {
  const ModelFolder folder;
  const std::string cell = hand + mesh_body(folder.write("room.obj", crate_without(2)), around_hand) + start + stand;
  const Proof proof = proved(cell);
  CHECK(proof.report.pass);
  const auto found = findings_of(proof.report, "clearance");
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::caution);
  CHECK(found[0].between == std::vector<std::string>{"hand", "crate"});
  CHECK_THAT(found[0].message, Contains("lies inside 'crate'") && Contains("enclosure"));
}

TEST_CASE("a hand inside a torn crate is a caution where a contact frees the two") {
  const ModelFolder folder;
  const std::string freed = "[[contact]]\nbetween = [\"hand\", \"crate\"]\n";
  const Proof proof =
      proved(hand + mesh_body(folder.write("torn.obj", crate_without(1)), around_hand) + freed + start + stand);
  CHECK(proof.report.pass);
  const auto found = findings_of(proof.report, "clearance");
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::caution);
  CHECK_THAT(found[0].message, Contains("where [[contact]] lets it"));
}

TEST_CASE("a hand beside a torn crate passes") {
  const ModelFolder folder;
  const Proof proof = proved(
      hand + mesh_body(folder.write("torn.obj", crate_without(1)), "{ xyz = [790, 600, 1040] }") + start + stand);
  CHECK(fails_of(proof.report, "clearance").empty());
  CHECK(findings_of(proof.report, "clearance").empty());
}

TEST_CASE("a hand that comes in through the hole, without touching, fails in that step") {
  // given a crate with half of its floor missing, 100 mm over the hand, which comes down over it
  const ModelFolder folder;
  const Vector3d x(800, 0, 0), y(0, 800, 0), z(0, 0, 800), low(-400, -400, -400);
  std::vector<Vector3d> corners;
  const auto wall = [&](const Vector3d& at, const Vector3d& u, const Vector3d& v) {
    for (const Vector3d& corner :
         {at, Vector3d(at + u), Vector3d(at + u + v), at, Vector3d(at + u + v), Vector3d(at + v)})
      corners.push_back(corner);
  };
  wall(low, y, x / 2);  // the floor that is left: x below 0
  wall(low + z, x, y);
  wall(low, x, z);
  wall(low, z, y);
  wall(low + y, z, x);
  wall(low + x, y, z);
  const std::string file = folder.write("bell.obj", weld(corners).mesh);
  const std::string stand_then = "[[step]]\nname = \"stand again\"\nwait = \"1 s\"\n";
  const std::string lower = "[[step]]\nname = \"lower\"\nshift = \"crate\"\nto = { xyz = [590, 0, 1040] }\ntime = 2\n";
  const Proof proof = proved(hand + mesh_body(file, "{ xyz = [590, 0, 1600] }") + start + stand + lower + stand_then);
  const auto fails = fails_of(proof.report, "clearance");
  REQUIRE(!fails.empty());
  CHECK(fails[0].step == "lower");
  CHECK_THAT(fails[0].message, Contains("'hand' lies inside 'crate'"));
  CHECK(fails[0].between == std::vector<std::string>{"hand", "crate"});
}

TEST_CASE("a post drawn a kilometre off stands where its file says, not 0.03 mm beside") {
  // The hand reaches to x = 800; the post begins at 803.
  const ModelFolder folder;
  Mesh post = box_mesh({100, 100, 100});
  for (Vector3d& vertex : post.vertices) vertex.x() += 1000000.03 + 50;
  for (const char* name : {"post.obj", "post.stl", "post.ply"}) {
    std::string text;
    if (std::string(name) == "post.obj") {
      folder.write(name, post);
    } else {
      const bool stl = std::string(name) == "post.stl";
      text = stl ? "solid post\n"
                 : "ply\nformat ascii 1.0\nelement vertex 8\nproperty float x\nproperty float y\nproperty float z\n"
                   "element face 12\nproperty list uchar int vertex_indices\nend_header\n";
      if (!stl)
        for (const Vector3d& p : post.vertices) text += fmt::format("{} {} {}\n", p.x(), p.y(), p.z());
      for (const Triangle& t : post.triangles) {
        if (!stl) text += fmt::format("3 {} {} {}\n", t[0], t[1], t[2]);
        if (stl) text += "facet normal 0 0 0\nouter loop\n";
        for (const std::uint32_t i : t) {
          const Vector3d& p = post.vertices[i];
          if (stl) text += fmt::format("vertex {} {} {}\n", p.x(), p.y(), p.z());
        }
        if (stl) text += "endloop\nendfacet\n";
      }
      if (stl) text += "endsolid post\n";
      std::ofstream(folder.path() / name) << text;
    }
    CAPTURE(name);
    const std::string file = (folder.path() / name).string();
    const Proof proof = proved(hand + mesh_body(file, "{ xyz = [-999197.03, 0, 1040] }") + start + stand);
    const auto& clearance = proof.report.steps.at(0).clearance;
    REQUIRE(clearance);
    CHECK(clearance->lower_mm <= 3);
    CHECK(clearance->lower_mm > 3 - 0.0015);
    CHECK(clearance->upper_mm >= 3 - 1e-9);
  }
}

TEST_CASE("a crate drawn up to 1000 km off and placed back keeps every bound true over a motion") {
  // The hand turns about the arm's first axis at radius 790, past a crate whose near face is at x = 830: the hand's
  // corner comes to hypot(800, 10) at the most, so the least gap along x is 830 - 800.0625 (elementary).
  const ModelFolder folder;
  for (const double off : {0.0, 1e6, 1e7, 1e8, 9e8}) {
    CAPTURE(off);
    Mesh crate = box_mesh({100, 100, 100});
    for (Vector3d& vertex : crate.vertices) vertex += off * Vector3d(0.6, -0.8, 0);
    const std::string at = fmt::format("{{ xyz = [{}, {}, 1040], turn = [0, 0, 90] }}", 880 - off * 0.8, -off * 0.6);
    const Proof proof =
        proved(hand + mesh_body(folder.write("far.obj", crate), at) + start + joint_move("20, 0, 0, 0, -90, 0"));
    const auto& clearance = proof.report.steps.at(0).clearance;
    REQUIRE(clearance);
    const double truth = 830 - std::hypot(800.0, 10.0);
    CHECK(clearance->lower_mm <= truth + 1e-9);
    CHECK(clearance->upper_mm >= truth - 1e-9);
    CHECK(clearance->lower_mm > truth - 0.62);  // 2 % and the rule's tolerance
  }
}
