// SPDX-License-Identifier: GPL-3.0-or-later
// One wedge, written by hand as 3MF and glTF. A right triangle with legs of 40 along x and 30 along z, 20 deep along y,
// in mm. Volume 40·30/2·20 = 12000 mm³ (elementary).
#pragma once

#include <cstring>
#include <filesystem>
#include <fstream>

#include <fmt/format.h>
#include <unistd.h>

#include "scene/mesh/mesh.hpp"
#include "tests/support/stored_zip.hpp"

namespace cellproof::test {

namespace fs = std::filesystem;

inline const std::vector<Vector3d> wedge_points = {{0, 0, 0},  {40, 0, 0},  {0, 0, 30},
                                                   {0, 20, 0}, {40, 20, 0}, {0, 20, 30}};
inline const std::vector<Triangle> wedge_triangles = {{0, 1, 2}, {3, 5, 4}, {0, 3, 4}, {0, 4, 1},
                                                      {1, 4, 5}, {1, 5, 2}, {0, 2, 5}, {0, 5, 3}};

class TestFile {
 public:
  TestFile(const std::string& ending, const std::string& content)
      : path_(fs::temp_directory_path() / fmt::format("cellproof-format-{}-{}{}", ::getpid(), ++counter_, ending)) {
    std::ofstream(path_, std::ios::binary) << content;
  }
  TestFile(const TestFile&) = delete;
  TestFile& operator=(const TestFile&) = delete;
  ~TestFile() {
    std::error_code ignored;
    fs::remove(path_, ignored);
  }
  const fs::path& path() const { return path_; }

 private:
  static inline int counter_ = 0;
  fs::path path_;
};

/// 3MF core specification: a model part with its unit, the wedge as object 1 and what more is given, and one of the
/// objects built, which may be placed.
inline std::string threemf(double unit_mm, const std::string& unit, const std::string& transform,
                           const std::string& more_objects = "", int built = 1) {
  std::string model = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model {}xml:lang=\"en-US\" "
      "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\"><resources><object id=\"1\" "
      "type=\"model\"><mesh><vertices>",
      unit.empty() ? "" : fmt::format("unit=\"{}\" ", unit));
  for (const auto& p : wedge_points)
    model += fmt::format("<vertex x=\"{:.9g}\" y=\"{:.9g}\" z=\"{:.9g}\"/>", p.x() / unit_mm, p.y() / unit_mm,
                         p.z() / unit_mm);
  model += "</vertices><triangles>";
  for (const auto& t : wedge_triangles)
    model += fmt::format("<triangle v1=\"{}\" v2=\"{}\" v3=\"{}\"/>", t[0], t[1], t[2]);
  model += fmt::format("</triangles></mesh></object>{}</resources><build><item objectid=\"{}\" {}/></build></model>",
                       more_objects, built, transform.empty() ? "" : fmt::format("transform=\"{}\"", transform));
  return stored_zip(
      {{"[Content_Types].xml",
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><Types xmlns=\"http://schemas.openxmlformats.org/package/2006/"
        "content-types\"><Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package."
        "relationships+xml\"/><Default Extension=\"model\" ContentType=\"application/vnd.ms-package."
        "3dmanufacturing-3dmodel+xml\"/></Types>"},
       {"_rels/.rels",
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><Relationships "
        "xmlns=\"http://schemas.openxmlformats.org/package/2006/"
        "relationships\"><Relationship Target=\"/3D/3dmodel.model\" Id=\"rel0\" Type=\"http://schemas.microsoft.com/"
        "3dmanufacturing/2013/01/3dmodel\"/></Relationships>"},
       {"3D/3dmodel.model", model}});
}

/// The wedge's numbers as a glTF buffer: indices, then positions in metres with +Y up, so that the drawing's (x, y, z)
/// stands as (x, z, -y).
inline std::string gltf_buffer() {
  std::string buffer;
  for (const auto& t : wedge_triangles)
    for (const auto i : t) put_number(buffer, i, 4);
  for (const auto& p : wedge_points)
    for (const double value : {p.x(), p.z(), -p.y()}) {
      const auto metres = static_cast<float>(value / 1000);
      std::uint32_t bits = 0;
      std::memcpy(&bits, &metres, 4);
      put_number(buffer, bits, 4);
    }
  return buffer;
}

/// The document about that buffer, which `uri` says where to find (with its key and a comma, or nothing for a GLB).
inline std::string gltf_json(const std::string& uri, const std::string& nodes = R"([{"mesh":0}])") {
  const std::size_t indices = 12 * wedge_triangles.size(), size = gltf_buffer().size();
  return fmt::format(
      R"({{"asset":{{"version":"2.0"}},"scene":0,"scenes":[{{"nodes":[0]}}],"nodes":{},)"
      R"("meshes":[{{"primitives":[{{"attributes":{{"POSITION":1}},"indices":0}}]}}],)"
      R"("buffers":[{{{}"byteLength":{}}}],)"
      R"("bufferViews":[{{"buffer":0,"byteOffset":0,"byteLength":{}}},{{"buffer":0,"byteOffset":{},"byteLength":{}}}],)"
      R"("accessors":[{{"bufferView":0,"componentType":5125,"count":{},"type":"SCALAR"}},)"
      R"({{"bufferView":1,"componentType":5126,"count":{},"type":"VEC3","min":[0,0,-0.02],"max":[0.04,0.03,0]}}]}})",
      nodes, uri, size, indices, indices, size - indices, 3 * wedge_triangles.size(), wedge_points.size());
}

/// A GLB of a document and a buffer (glTF 2.0, 4.4).
inline std::string glb_of(std::string json, const std::string& buffer) {
  while (json.size() % 4 != 0) json += ' ';
  std::string file = "glTF";
  put_number(file, 2, 4);
  put_number(file, static_cast<std::uint32_t>(12 + 8 + json.size() + 8 + buffer.size()), 4);
  put_number(file, static_cast<std::uint32_t>(json.size()), 4);
  file += "JSON" + json;
  put_number(file, static_cast<std::uint32_t>(buffer.size()), 4);
  file += std::string("BIN\0", 4) + buffer;
  return file;
}

inline std::string glb() {
  return glb_of(gltf_json(""), gltf_buffer());
}

inline std::string base64(const std::string& bytes) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t word = 0;
    for (std::size_t k = 0; k < 3; ++k)
      word = word << 8 | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      text.push_back(i + k <= bytes.size() ? letters[word >> (18 - 6 * k) & 63U] : '=');
  }
  return text;
}

}  // namespace cellproof::test
