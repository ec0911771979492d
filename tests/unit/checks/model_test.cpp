// SPDX-License-Identifier: GPL-3.0-or-later
// Models that look like a mistake are used, with a caution that has numbers and what to change.
#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/mesh_files.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;
using Catch::Matchers::Contains;

namespace {

/// The small arm, which reaches 1934 mm at most (its lengths together), standing still beside the bodies given.
Proof model_proof(const std::string& bodies) {
  return proved(head + bodies + "[cycle]\nstart = [0, 0, 0, 0, -90, 0]\n[[step]]\nwait = \"1 s\"\n");
}

std::vector<Finding> told_about(const std::string& bodies, Severity severity) {
  const Proof proof = model_proof(bodies);
  std::vector<Finding> mine;
  for (const auto& finding : proof.report.findings)
    if (finding.check == Check::model) {
      CHECK(finding.severity == severity);
      CHECK_FALSE(finding.mend.empty());
      mine.push_back(finding);
    }
  return mine;
}

std::vector<Finding> cautions_about(const std::string& bodies) {
  return told_about(bodies, Severity::caution);
}

std::string mesh_text(const std::string& file, const std::string& more = "") {
  return fmt::format("mesh = \"{}\"\nmesh_unit = \"mm\"\n{}", file, more);
}

/// A body of that mesh, away from the arm.
std::string mesh_body(const std::string& name, const std::string& file, const std::string& xyz = "[0, -900, 0]",
                      const std::string& more = "") {
  return body_text(name, "world", "{ xyz = " + xyz + " }", mesh_text(file, more));
}

}  // namespace

TEST_CASE("a sound model earns no caution") {
  const ModelFolder folder;
  CHECK(cautions_about(mesh_body("block", folder.write("block.obj", box_mesh({80, 60, 40})))).empty());
}

TEST_CASE("a size beside the arm's reach tells of a wrong unit, and which would do") {
  const ModelFolder folder;
  // Given a plate of 3 x 2 x 0.5: nothing in millimetres; as inches 76.2 x 50.8 x 12.7,
  const auto small = told_about(mesh_body("plate", folder.write("plate.obj", box_mesh({3, 2, 0.5}))), Severity::fail);
  REQUIRE(small.size() == 1);
  CHECK_THAT(small[0].message, Contains("only 3 x 2 x 0.5 mm") && Contains("would fit it 1000 times larger"));
  CHECK_THAT(small[0].mend, Contains("as inches it were 76.2 x 50.8 x 12.7 mm") &&
                                Contains("as metres it were 3000 x") && !Contains("thousandths"));
  // Given a table of 48000 x 30000 x 1000, drawn in thousandths of an inch,
  const auto large = cautions_about(
      mesh_body("table", folder.write("table.obj", box_mesh({48000, 30000, 1000})), "[0, -90000, -9000]"));
  REQUIRE(large.size() == 1);
  CHECK_THAT(large[0].mend, Contains("as thousandths of an inch it were 1219 x 762 x 25.4 mm") && !Contains("metres"));
}

TEST_CASE("a body drawn in metres and read as millimetres fails, unless somebody has looked at it") {
  const ModelFolder folder;
  // Given a vise of 0.16 x 0.12 x 0.08, beside an arm that reaches about a metre,
  const std::string vise = folder.write("vise.obj", box_mesh({0.16, 0.12, 0.08}));
  const Proof proof = model_proof(mesh_body("vise", vise));
  const auto failure = std::find_if(
      proof.report.findings.begin(), proof.report.findings.end(),
      [](const Finding& finding) { return finding.check == Check::model && finding.severity == Severity::fail; });
  REQUIRE(failure != proof.report.findings.end());
  CHECK_THAT(failure->message, Contains("would fit it 1000 times larger"));
  CHECK_THAT(failure->mend, Contains("as metres it were 160 x 120 x 80 mm") && Contains("size_checked = true"));
  CHECK_FALSE(proof.report.pass);
  // Then with the key it is a caution only.
  for (const Finding& finding :
       model_proof(mesh_body("vise", vise, "[0, -900, 0]", "size_checked = true\n")).report.findings)
    CHECK_FALSE((finding.check == Check::model && finding.severity == Severity::fail));
}

TEST_CASE("what the file states on a model tells of a wrong unit") {
  const ModelFolder folder;
  // Given a plate drawn 8 x 6 x 1 inches about its middle, read as mm, and a seat stated on its true top: √(46² + 17² +
  // 12.2²) = 50.54 off the plate as it is,
  const std::string plate = folder.write("plate.obj", box_mesh({8, 6, 1}));
  const auto seat = [](const std::string& on, double z) {
    return fmt::format("[[seat]]\nname = \"{0} seat\"\non = \"{0}\"\nat = {{ xyz = [50, 20, {1}] }}\n", on, z);
  };
  const auto found = cautions_about(mesh_body("plate", plate) + seat("plate", 12.7));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message, Contains("8 x 6 x 1 mm") && Contains("lies up to 50.54 mm off"));
  CHECK_THAT(found[0].mend, Contains("as inches it were 203.2 x 152.4 x 25.4 mm"));
  // Given the same seat far from where any unit would put the plate's surface, nothing is said.
  CHECK(cautions_about(mesh_body("plate", plate) + seat("plate", 250)).empty());
}

TEST_CASE("an open mesh is told with its largest hole") {
  const ModelFolder folder;
  Mesh open = box_mesh({80, 60, 40});
  open.triangles.erase(open.triangles.begin() + 2, open.triangles.begin() + 4);  // its top
  const auto found = cautions_about(mesh_body("tub", folder.write("tub.obj", open)));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message, Contains("not closed (4 open edges in 1 place)") && Contains("280 mm in all") &&
                                   Contains("around (0, 0, 20)"));
}

TEST_CASE("a shell turned inside out is told, a hollow is not") {
  const ModelFolder folder;
  const Mesh hollow = together({box_mesh({80, 60, 40}), inside_out(box_mesh({40, 30, 20}))});
  CHECK(cautions_about(mesh_body("hollow", folder.write("hollow.obj", hollow))).empty());
  const Mesh mixed = together({box_mesh({80, 60, 40}), shifted(inside_out(box_mesh({20, 10, 10})), {100, 0, 0})});
  const auto found = cautions_about(mesh_body("mixed", folder.write("mixed.obj", mixed)));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message,
             Contains("1 of the 2 closed shells") && Contains("around (100, 0, 0)") && Contains("-2000 mm^3"));
}

TEST_CASE("a sheet without thickness is told") {
  const ModelFolder folder;
  const auto found = cautions_about(mesh_body("shim", folder.write("shim.obj", box_mesh({80, 60, 0.001}))));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message, Contains("a sheet 0.001 mm thick"));
  CHECK(cautions_about(mesh_body("foil", folder.write("foil.obj", box_mesh({80, 60, 0.05})))).empty());
}

TEST_CASE("a model far from its own frame that is placed again is told") {
  const ModelFolder folder;
  const std::string far = folder.write("far.obj", shifted(box_mesh({40, 40, 40}), {5000, 0, 0}));
  const auto found = cautions_about(mesh_body("far", far));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message, Contains("5000 mm away from its own origin") && Contains("(5000, 0, 0)"));
  CHECK(cautions_about(mesh_body("far", far, "[0, 0, 0]")).empty());
}

TEST_CASE("models that cut each other where the cell begins are told with the depth") {
  const ModelFolder folder;
  const std::string block = folder.write("block.obj", box_mesh({80, 60, 40}));
  const std::string one = mesh_body("one", block), deep = mesh_body("two", block, "[70, -890, 10]");
  // Given two blocks of 80 x 60 x 40, the second's middle 70, 10 and 10 from the first's: it enters 10 deep.
  const auto found = cautions_about(one + deep);
  REQUIRE(found.size() == 1);
  CHECK(found[0].between == std::vector<std::string>{"one", "two"});
  CHECK_THAT(found[0].message, Contains("cut each other 10.0 mm deep at the start"));
  // Side by side, screwed into each other by 4 mm, meant, or one on the other: nothing is said.
  CHECK(cautions_about(one + mesh_body("two", block, "[80, -900, 0]")).empty());
  CHECK(cautions_about(one + mesh_body("two", block, "[76, -890, 10]")).empty());
  CHECK(cautions_about(one + deep + "[[contact]]\nbetween = [\"one\", \"two\"]\n").empty());
  CHECK(cautions_about(one + body_text("two", "one", "{ xyz = [70, 10, 10] }", mesh_text(block))).empty());
  // A primitive stands in for something, as a rule: nothing is said either.
  CHECK(cautions_about(one + body_text("two", "world", "{ xyz = [70, -890, 10] }", "box = [80, 60, 40]")).empty());
}

TEST_CASE("a model of very many triangles is told to be thinned, and once thinned widens what is proven") {
  const ModelFolder folder;
  // Given a ball of 500 mm radius as a mesh of 128,000 triangles, beside a finer one, twice, as two shells,
  const Mesh ball = sphere_mesh(500);
  const std::string balls = folder.write("balls.obj", together({ball, shifted(ball, {1500, 0, 0})}));
  const std::string at = "[0, -2500, 0]";
  REQUIRE(2 * ball.triangles.size() > 200'000);
  const auto found = cautions_about(mesh_body("balls", balls, at));
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].message, Contains(fmt::format("{} triangles", 2 * ball.triangles.size())));
  CHECK_THAT(found[0].mend, Contains("simplify = "));
  CHECK(cautions_about(mesh_body("balls", balls, at, "simplify = \"0.2 mm\"\n")).empty());
  // then the thinned one's deviation is that of the thinning, and a clearance is enclosed all the same.
  const auto clearance = [&](const std::string& more) {
    const Proof proof = proved(head + mesh_body("balls", balls, at, more) +
                               body_text("hand", "flange", "{ xyz = [0, 0, 50] }", "box = [20, 20, 20]") +
                               "[cycle]\nstart = [0, 0, 0, 0, -90, 0]\n[[step]]\nwait = \"1 s\"\n");
    const Mesh& mesh = proof.scene->bodies.front().solid->mesh();
    return std::tuple(proof.report.steps.front().clearance.value(), mesh.deviation, mesh.triangles.size());
  };
  const auto [whole, exact, many] = clearance("");
  const auto [thin, strayed, few] = clearance("simplify = \"0.2 mm\"\n");
  CHECK(exact.outside == 0);
  CHECK(strayed.outside > 0);
  CHECK(strayed.outside <= 0.2);
  CHECK(few < many / 2);
  CHECK(thin.lower_mm <= whole.upper_mm);
  CHECK(thin.upper_mm >= whole.lower_mm);
}
