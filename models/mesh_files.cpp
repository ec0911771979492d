// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/mesh_files.hpp"

#include <array>
#include <bit>
#include <cmath>
#include <fstream>
#include <stdexcept>
#include <string>

#include <fmt/core.h>

namespace cellproof::models {
namespace {

static_assert(std::endian::native == std::endian::little, "binary STL is little-endian");

Shape on_grid(Shape shape) {
  for (Vector3d& vertex : shape.vertices) {
    // Adding zero turns a negative zero into a positive one.
    vertex = vertex.unaryExpr([](double value) { return std::round(value * 1000) / 1000 + 0.0; });
  }
  return shape;
}

template <typename T>
void put(std::string& bytes, const T& value) {
  const auto raw = std::bit_cast<std::array<char, sizeof(T)>>(value);
  bytes.append(raw.data(), raw.size());
}

/// Normals are left zero, as the format allows: readers compute them from the corners.
std::string stl_bytes(const Shape& shape, const std::string& cell) {
  std::string bytes = cell + ", mm, written by make-models";
  bytes.resize(80, ' ');
  put(bytes, static_cast<std::uint32_t>(shape.triangles.size()));
  for (const auto& triangle : shape.triangles) {
    for (int k = 0; k < 3; ++k) put(bytes, 0.0F);
    for (const std::uint32_t index : triangle) {
      for (int k = 0; k < 3; ++k) put(bytes, static_cast<float>(shape.vertices[index][k]));
    }
    put(bytes, std::uint16_t{0});
  }
  return bytes;
}

std::string obj_bytes(const Shape& shape, const std::string& cell) {
  std::string bytes = "# " + cell + ", mm, written by make-models\n";
  for (const Vector3d& v : shape.vertices) bytes += fmt::format("v {:.3f} {:.3f} {:.3f}\n", v.x(), v.y(), v.z());
  for (const auto& [a, b, c] : shape.triangles) bytes += fmt::format("f {} {} {}\n", a + 1, b + 1, c + 1);
  return bytes;
}

}  // namespace

void write_mesh(const Shape& shape, const std::filesystem::path& file, const std::string& cell) {
  const Shape written = on_grid(shape);
  if (!closed_and_outward(written)) throw std::runtime_error(file.string() + ": the mesh is not closed and outward");
  const std::string bytes = file.extension() == ".obj" ? obj_bytes(written, cell) : stl_bytes(written, cell);
  std::ofstream out(file, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (!out.flush()) throw std::runtime_error(file.string() + ": can't be written");
}

}  // namespace cellproof::models
