// SPDX-License-Identifier: GPL-3.0-or-later
// 3MF by hand: components and their transforms, and what is refused instead of read as something else.
#include <catch2/catch.hpp>

#include "scene/files/mesh_import.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;
using Catch::Matchers::Contains;
using test::TestFile;
using test::threemf;

namespace {

constexpr double wedge_volume = 12000;  // mm³, elementary

Mesh imported(const std::string& content) {
  const TestFile file(".3mf", content);
  auto read = import_mesh(file.path(), 1);
  if (!read) FAIL(read.error());
  return std::move(read->mesh);
}

std::string refusal(const std::string& content) {
  const TestFile file(".3mf", content);
  const auto read = import_mesh(file.path(), 1);
  REQUIRE_FALSE(read);
  CHECK_THAT(read.error(), Contains(file.path().string()));
  return read.error();
}

std::string object(int id, const std::string& content) {
  return fmt::format(R"(<object id="{}" type="model">{}</object>)", id, content);
}

std::string component(int id, const std::string& transform = "") {
  return fmt::format(R"(<component objectid="{}"{}/>)", id,
                     transform.empty() ? "" : fmt::format(R"( transform="{}")", transform));
}

/// Object k, made of two of object k - 1 each, from 2 on.
std::string doubled(int last) {
  std::string all;
  for (int k = 2; k <= last; ++k)
    all += object(k, "<components>" + component(k - 1) + component(k - 1) + "</components>");
  return all;
}

/// The wedge with one vertex, its first, written as given.
std::string with_vertex(const std::string& x, const std::string& triangle = "<triangle v1=\"0\" v2=\"1\" v3=\"2\"/>") {
  return threemf(1, "millimeter", "",
                 object(2, "<mesh><vertices><vertex x=\"" + x +
                               "\" y=\"0\" z=\"0\"/><vertex x=\"0\" y=\"9\" z=\"0\"/><vertex x=\"9\" y=\"0\" z=\"9\"/>"
                               "</vertices><triangles>" +
                               triangle + "</triangles></mesh>"),
                 2);
}

}  // namespace

TEST_CASE("components are placed in their objects, objects in the build") {
  // Given two wedges in an object, one of them 100 further along y, in inches, all 1000 up,
  const Mesh mesh = imported(threemf(
      25.4, "inch", "1 0 0 0 1 0 0 0 1 0 0 1000",
      object(2, "<components>" + component(1) + component(1, "1 0 0 0 1 0 0 0 1 0 100 0") + "</components>"), 2));
  // then there are two shells, and both transforms count in inches.
  CHECK(shells(mesh).count == 2);
  CHECK(solid_properties(mesh).volume == Approx(2 * wedge_volume).epsilon(1e-6));
  CHECK((box_of(mesh).low - Vector3d(0, 0, 25400)).norm() < 1e-3);
  CHECK((box_of(mesh).high - Vector3d(40, 2560, 25430)).norm() < 1e-3);
}

TEST_CASE("a transform's rows are the images of the axes") {
  // Given x to y, y to -x (a quarter turn about z, row vectors from the left: Core Specification 3.3), twice as large,
  const Mesh mesh = imported(threemf(1, "millimeter", "0 2 0 -2 0 0 0 0 2 0 0 0"));
  CHECK(solid_properties(mesh).volume == Approx(8 * wedge_volume));
  CHECK((box_of(mesh).low - Vector3d(-40, 0, 0)).norm() < 1e-9);
  CHECK((box_of(mesh).high - Vector3d(0, 80, 60)).norm() < 1e-9);
}

TEST_CASE("a mirrored component stays right side out") {
  CHECK(solid_properties(imported(threemf(1, "millimeter", "-1 0 0 0 1 0 0 0 1 0 0 0"))).volume ==
        Approx(wedge_volume));
}

TEST_CASE("an object may stand in another model part") {
  // Given a root whose item leads to a second part by the production extension's path,
  const std::string types =
      R"(<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">)"
      R"(<Relationship Target="/3D/root.model" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>)"
      R"(</Relationships>)";
  const std::string head =
      R"(<?xml version="1.0"?><model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" )"
      R"(xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" requiredextensions="p">)";
  const std::string other =
      head + "<resources>" +
      object(7,
             "<mesh><vertices><vertex x=\"0\" y=\"0\" z=\"0\"/><vertex x=\"2\" y=\"0\" z=\"0\"/><vertex x=\"0\" "
             "y=\"2\" z=\"0\"/></vertices><triangles><triangle v1=\"0\" v2=\"1\" v3=\"2\"/></triangles></mesh>") +
      "</resources><build/></model>";
  const auto package = [&](const std::string& path) {
    return test::stored_zip({{"_rels/.rels", types},
                             {"3D/root.model", head + R"(<resources/><build><item objectid="7" p:path=")" + path +
                                                   R"("/></build></model>)"},
                             {"3D/other.model", other}});
  };
  // then its triangle of 2 by 2 over 2 is read; a path to nowhere is refused.
  CHECK(surface_area(imported(package("/3D/other.model"))) == Approx(2));
  CHECK_THAT(refusal(package("/3D/none.model")), Contains("no '3D/none.model'"));
}

TEST_CASE("what looks like a number but is none is refused with its line") {
  CHECK(imported(with_vertex(" +1.5e0 ")).triangles.size() == 1);
  for (const std::string typo : {"1.o5", "abc", "", "1,5", "0x10", "nan", "inf", "1 2"}) {
    CAPTURE(typo);
    CHECK_THAT(refusal(with_vertex(typo)), Contains("line 2") && Contains("x = \"" + typo + "\" of <vertex>"));
  }
  CHECK_THAT(refusal(with_vertex("0", "<triangle v1=\"0\" v2=\"1\" v3=\"3\"/>")),
             Contains("vertex 3, but the last is 2"));
  CHECK_THAT(refusal(with_vertex("0", "<triangle v1=\"0\" v2=\"-1\" v3=\"2\"/>")), Contains("v2 = \"-1\""));
  CHECK_THAT(refusal(with_vertex("0", "<triangle v1=\"0\" v3=\"2\"/>")), Contains("<triangle> has no v2"));
  CHECK_THAT(refusal(threemf(1, "millimeter", "1 0 0 0 1 0 0 0 1 2 3")), Contains("twelve numbers"));
  CHECK_THAT(refusal(threemf(1, "millimeter", "1 0 0 0 1 0 0 0 1 2 3 4o")), Contains("twelve numbers"));
  CHECK_THAT(refusal(threemf(1, "furlong", "")), Contains("furlong"));
}

TEST_CASE("components that stand for more than memory holds are refused before they are made") {
  for (const int levels : {22, 25, 41}) {  // 2^21 to 2^40 wedges of 8 triangles
    CAPTURE(levels);
    CHECK_THAT(refusal(threemf(1, "millimeter", "", doubled(levels), levels)),
               Contains("more than 4 million triangles"));
  }
  CHECK(imported(threemf(1, "millimeter", "", doubled(8), 8)).triangles.size() == 128 * 8);
}

TEST_CASE("components of nothing, however often, are nothing") {
  std::string empty = object(2, "<components></components>");
  for (int k = 3; k <= 43; ++k)
    empty += object(k, "<components>" + component(k - 1) + component(k - 1) + "</components>");
  CHECK_THAT(refusal(threemf(1, "millimeter", "", empty, 43)), Contains("no triangles"));
}

TEST_CASE("components that hold themselves, or go very deep, are refused") {
  CHECK_THAT(refusal(threemf(1, "millimeter", "",
                             object(2, "<components>" + component(2) + component(2) + "</components>"), 2)),
             Contains("hold themselves"));
  std::string chain;
  for (int k = 2; k <= 5000; ++k) chain += object(k, "<components>" + component(k - 1) + "</components>");
  CHECK_THAT(refusal(threemf(1, "millimeter", "", chain, 5000)), Contains("more than 64 deep"));
  CHECK_THAT(refusal(threemf(1, "millimeter", "", object(2, "<components>" + component(9) + "</components>"), 2)),
             Contains("object 9 is placed but is not in"));
}

TEST_CASE("a 3MF with a document type, which could multiply text, is refused") {
  CHECK_THAT(refusal(test::stored_zip({{"_rels/.rels", "<!DOCTYPE x [<!ENTITY a \"b\">]><x/>"}})),
             Contains("document type"));
}
