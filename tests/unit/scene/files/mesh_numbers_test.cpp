// SPDX-License-Identifier: GPL-3.0-or-later
// What a mesh file says in decimals comes in as the double nearest to it, times its unit: no bit is lost on the way.
// Held against the C library's strtod.
#include <algorithm>
#include <cstdlib>
#include <cstring>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/files/mesh_import.hpp"
#include "scene/files/text_words.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;
using test::TestFile;

namespace {

/// A coordinate as a file writes it.
struct Written {
  std::string text;
  double number;
};

/// Of up to 17 digits, as exporters write them.
Written written(random_geometry::Engine& engine, double reach) {
  const double value = random_geometry::between(engine, -reach, reach);
  const int digits = 1 + static_cast<int>(engine() % 17);
  std::string text;
  switch (engine() % 4) {
    case 0:
      text = fmt::format("{:.{}g}", value, digits);
      break;
    case 1:
      text = fmt::format("{:+.{}e}", value, digits);
      break;
    case 2:
      text = fmt::format("{:.{}f}", value, digits);
      break;
    default:
      text = fmt::format("{:.{}E}", value, digits);
  }
  return {text, std::strtod(text.c_str(), nullptr)};
}

using Corner = std::array<Written, 3>;

std::vector<Corner> random_corners(random_geometry::Engine& engine, double reach) {
  std::vector<Corner> corners(3 * (10 + engine() % 190));
  for (Corner& corner : corners)
    for (Written& coordinate : corner) coordinate = written(engine, reach);
  return corners;
}

std::string line_of(const Corner& corner) {
  return fmt::format("{} {}\t{}", corner[0].text, corner[1].text, corner[2].text);
}

std::string stl_text(const std::vector<Corner>& corners) {
  std::string text = "solid some name\n";
  for (std::size_t i = 0; i < corners.size(); ++i) {
    if (i % 3 == 0) text += "facet normal nan 0 0\n outer loop\n";
    text += "  vertex " + line_of(corners[i]) + "\n";
    if (i % 3 == 2) text += " endloop\nendfacet\n";
  }
  return text + "endsolid some name\n";
}

std::string obj_text(const std::vector<Corner>& corners) {
  std::string text;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    text += "v " + line_of(corners[i]) + "\n";
    if (i % 3 == 2) text += "f -3 -2 -1\n";
  }
  return text;
}

std::string ply_head(const char* format, const char* type, std::size_t corners) {
  return fmt::format(
      "ply\nformat {0} 1.0\ncomment by hand\nelement vertex {2}\nproperty {1} x\nproperty {1} y\nproperty {1} z\n"
      "element face {3}\nproperty list uchar int vertex_indices\nend_header\n",
      format, type, corners, corners / 3);
}

std::string ply_text(const std::vector<Corner>& corners) {
  std::string text = ply_head("ascii", "float", corners.size());
  for (const Corner& corner : corners) text += line_of(corner) + "\n";
  for (std::size_t i = 0; i < corners.size(); i += 3) text += fmt::format("3 {} {} {}\n", i, i + 1, i + 2);
  return text;
}

template <class Number>
void append(std::string& bytes, Number number, bool big_endian) {
  std::array<char, sizeof number> raw;
  std::memcpy(raw.data(), &number, sizeof number);
  if (big_endian) std::reverse(raw.begin(), raw.end());
  bytes.append(raw.data(), raw.size());
}

template <class Number>
std::string ply_binary(const std::vector<Corner>& corners, const char* type, bool big_endian) {
  std::string bytes = ply_head(big_endian ? "binary_big_endian" : "binary_little_endian", type, corners.size());
  for (const Corner& corner : corners)
    for (const Written& coordinate : corner) append(bytes, static_cast<Number>(coordinate.number), big_endian);
  for (std::size_t i = 0; i < corners.size(); ++i) {
    if (i % 3 == 0) append(bytes, std::uint8_t{3}, big_endian);
    append(bytes, static_cast<std::int32_t>(i), big_endian);
  }
  return bytes;
}

void check_same(const char* ending, const std::string& content, const std::vector<Corner>& corners, double unit_mm,
                double (*held)(double)) {
  const TestFile file(ending, content);
  const auto read = import_mesh(file.path(), unit_mm);
  INFO(ending);
  if (!read) FAIL(read.error());
  REQUIRE(read->mesh.triangles.size() == corners.size() / 3);
  std::size_t off = 0;
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      const Vector3d& vertex = read->mesh.vertices[read->mesh.triangles[i / 3][i % 3]];
      off += vertex[static_cast<Eigen::Index>(k)] != held(corners[i][k].number) * unit_mm ? 1 : 0;
    }
  CHECK(off == 0);
}

double as_it_is(double number) {
  return number;
}
double as_float(double number) {
  return static_cast<double>(static_cast<float>(number));
}

}  // namespace

TEST_CASE("Coordinates come in to the last bit as the file says them, times the unit") {
  random_geometry::Engine engine(61);
  const int meshes = std::getenv("CELLPROOF_LONG") != nullptr ? 1000 : 100;
  for (int i = 0; i < meshes; ++i) {
    CAPTURE(i);
    const double unit_mm = std::array{1.0, 25.4, 1000.0, 0.0254}[engine() % 4];
    const double reach = std::array{1.0, 400.0, 1e6}[engine() % 3] / unit_mm;  // up to 1 km
    const std::vector<Corner> corners = random_corners(engine, reach);
    check_same(".obj", obj_text(corners), corners, unit_mm, as_it_is);
    check_same(".stl", stl_text(corners), corners, unit_mm, as_it_is);
    check_same(".ply", ply_text(corners), corners, unit_mm, as_it_is);
    check_same(".ply", ply_binary<double>(corners, "double", i % 2 == 0), corners, unit_mm, as_it_is);
    check_same(".ply", ply_binary<float>(corners, "float", i % 2 == 1), corners, unit_mm, as_float);
  }
}

TEST_CASE("A corner a kilometre off stands where the file puts it, not on the next float") {
  // 1000000.03 is 0.03 from the nearest float, 400.00001 is 1e-5 from it (both from memory of the format's spacing).
  const TestFile file(".obj", "v 1000000.03 0 0\nv 400.00001 0 0\nv 0 1 0\nf 1 2 3\n");
  const auto read = import_mesh(file.path(), 1);
  REQUIRE(read);
  CHECK(read->mesh.vertices[0].x() == 1000000.03);
  CHECK(read->mesh.vertices[1].x() == 400.00001);
  CHECK(read->mesh.deviation.outside == 0);
}

TEST_CASE("A decimal number is the whole word, near the ends of the doubles too") {
  double number = 0;
  for (const char* text : {"0", "-0", "+1", "1.", ".5", "1e5", "1E+05", "1e-400", "1e400", "-1e400", "4.9e-324",
                           "2.2250738585072011e-308", "0.1000000000000000055511151231257827021181583404541015625"}) {
    CAPTURE(text);
    REQUIRE(decimal_number(text, number));
    CHECK(number == std::strtod(text, nullptr));
  }
  for (const char* text : {"", "+", "-", "+-1", "1,5", "1 ", "0x10", "1e", "e5", "1.2.3", "--1"}) {
    CAPTURE(text);
    CHECK_FALSE(decimal_number(text, number));
  }
}
