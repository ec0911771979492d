// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/stl_file.hpp"

#include <cstring>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/rigid_mass.hpp"

using namespace cellproof;

TEST_CASE("a binary STL has 80 bytes, the count, and 50 bytes a triangle, in the unit asked for") {
  const std::string bytes = stl_of(box_mesh({25.4, 50.8, 76.2}), 25.4);
  REQUIRE(bytes.size() == 84 + 12 * 50);
  std::uint32_t count = 0;
  std::memcpy(&count, bytes.data() + 80, 4);
  CHECK(count == 12);
  for (std::size_t i = 0; i < 12; ++i)
    for (std::size_t corner = 0; corner < 3; ++corner) {
      float xyz[3];
      std::memcpy(xyz, bytes.data() + 84 + 50 * i + 12 + 12 * corner, 12);
      CHECK(std::abs(xyz[0]) == 0.5F);
      CHECK(std::abs(xyz[1]) == 1.0F);
      CHECK(std::abs(xyz[2]) == 1.5F);
    }
}

TEST_CASE("in single precision a closed mesh stays closed, slivers and all") {
  Mesh box = box_mesh({100, 100, 20});
  // An edge from a to b has one more vertex, nearer to a than single precision can tell: two triangles lose their area.
  const auto [a, b, c] = box.triangles.front();
  const auto added = static_cast<std::uint32_t>(box.vertices.size());
  box.vertices.push_back(box.vertices[a] + 1e-9 * (box.vertices[b] - box.vertices[a]));
  for (std::size_t i = 1; i < 12; ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      Triangle& other = box.triangles[i];
      if (other[k] != b || other[(k + 1) % 3] != a) continue;
      const std::uint32_t d = other[(k + 2) % 3];
      other = {b, added, d};
      box.triangles.push_back({added, a, d});
    }
  box.triangles.front() = {a, added, c};
  box.triangles.push_back({added, b, c});
  REQUIRE(closedness(box).closed);
  const auto single = in_single_precision(box, 1);
  REQUIRE(single);
  CHECK(closedness(*single).closed);
  CHECK(single->triangles.size() == 12);
  CHECK(solid_properties(*single).volume == Approx(200000));
  for (const Vector3d& vertex : single->vertices) CHECK(vertex.cast<float>().cast<double>() == vertex);
}
