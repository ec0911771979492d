// SPDX-License-Identifier: GPL-3.0-or-later
// What is kept of a tessellation comes back whole or not at all.
#include "scene/files/tessellation.hpp"

#include <catch2/catch.hpp>

#include "scene/basics/content_key.hpp"
#include "scene/mesh/primitives.hpp"

using namespace cellproof;

namespace {

Mesh ball() {
  Mesh mesh = sphere_mesh(10);
  mesh.deviation = {0.01, 0.02};
  ExactFigures exact;
  exact.area = 1256;
  exact.solid.volume = 4188;
  exact.solid.centroid = {1, 2, 3};
  exact.solid.inertia << 1, 2, 3, 4, 5, 6, 7, 8, 9;
  mesh.exact = exact;
  return mesh;
}

}  // namespace

TEST_CASE("a tessellation comes back from its bytes as it was") {
  const Mesh mesh = ball();
  const auto back = tessellation_of(tessellation_bytes(mesh));
  REQUIRE(back);
  CHECK(back->vertices == mesh.vertices);
  CHECK(back->triangles == mesh.triangles);
  CHECK(back->deviation.outside == 0.01);
  CHECK(back->deviation.inside == 0.02);
  REQUIRE(back->exact);
  CHECK(back->exact->area == 1256);
  CHECK(back->exact->solid.volume == 4188);
  CHECK(back->exact->solid.centroid == mesh.exact->solid.centroid);
  CHECK(back->exact->solid.inertia == mesh.exact->solid.inertia);
  CHECK_FALSE(tessellation_of(tessellation_bytes(box_mesh({1, 2, 3})))->exact);
}

TEST_CASE("a tessellation that is cut off, longer, or changed in any byte is none") {
  const std::string bytes = tessellation_bytes(box_mesh({1, 2, 3}));
  for (std::size_t length = 0; length < bytes.size(); ++length) CHECK_FALSE(tessellation_of(bytes.substr(0, length)));
  CHECK_FALSE(tessellation_of(bytes + "0"));
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    std::string changed = bytes;
    changed[i] = static_cast<char>(changed[i] ^ 1);
    CHECK_FALSE(tessellation_of(changed));
  }
}

TEST_CASE("a checksum that fits does not make counts and references true") {
  const auto sealed = [](std::string content) { return content + content_hash(content); };
  Mesh astray = box_mesh({1, 2, 3});
  astray.triangles[3][1] = 8;  // there are 8 vertices, numbered from 0
  CHECK_FALSE(tessellation_of(tessellation_bytes(astray)));
  std::string bytes = tessellation_bytes(box_mesh({1, 2, 3}));
  bytes.resize(bytes.size() - 32);
  const std::size_t head = bytes.find('\n') + 1 + 16 * 8;  // deviations, figures; then the three counts
  std::string immense = bytes;
  for (std::size_t i = 0; i < 8; ++i) immense[head + 16 + i] = '\xff';
  CHECK(tessellation_of(sealed(bytes)));
  CHECK_FALSE(tessellation_of(sealed(immense)));
  CHECK_FALSE(tessellation_of(sealed("another maker" + bytes)));
}
