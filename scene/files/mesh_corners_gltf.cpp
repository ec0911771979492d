// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <set>

#include <fmt/format.h>

#include "scene/files/gltf_accessor.hpp"
#include "scene/files/mesh_corners.hpp"

namespace cellproof {

namespace {

constexpr std::size_t triangle_list = 4, triangle_strip = 5, triangle_fan = 6;

/// What of a mesh bounds something: its triangles by numbers of positions.
struct Primitive {
  std::size_t mode = triangle_list;
  GltfAccessor positions;
  std::optional<GltfAccessor> indices;

  std::size_t corners() const { return indices ? indices->count : positions.count; }
  std::size_t triangles() const {
    if (mode == triangle_list) return corners() / 3;
    return corners() < 3 ? 0 : corners() - 2;
  }
  /// Counter-clockwise (glTF 2.0, 3.7.2.1).
  std::array<std::size_t, 3> triangle(std::size_t number) const {
    std::array<std::size_t, 3> all{3 * number, 3 * number + 1, 3 * number + 2};
    if (mode == triangle_strip) all = {number, number + 1 + number % 2, number + 2 - number % 2};
    if (mode == triangle_fan) all = {number + 1, number + 2, 0};
    if (indices)
      for (std::size_t& corner : all) corner = indices->index(corner);
    return all;
  }
};

/// Extensions whose absence would change no shape.
bool shapes_nothing(std::string_view extension) {
  constexpr std::array beginnings = {std::string_view("KHR_materials_"),        std::string_view("KHR_texture_"),
                                     std::string_view("EXT_texture_"),          std::string_view("KHR_lights_punctual"),
                                     std::string_view("KHR_mesh_quantization"), std::string_view("KHR_xmp")};
  return std::any_of(beginnings.begin(), beginnings.end(),
                     [&](std::string_view beginning) { return extension.starts_with(beginning); });
}

class Reader {
 public:
  explicit Reader(const GltfDocument& document) : values_(document.json), buffers_(document) {}

  /// A clause: what is wrong; empty if nothing is.
  std::string read() {
    check_document();
    const std::vector<std::size_t> roots = roots_of_scene();
    std::vector<std::pair<std::size_t, Eigen::Matrix4d>> waiting;
    for (auto root = roots.rbegin(); root != roots.rend(); ++root)
      waiting.emplace_back(*root, Eigen::Matrix4d::Identity());
    while (!waiting.empty() && !values_.failed()) {
      const auto [number, parent] = waiting.back();
      waiting.pop_back();
      const GltfObject node = values_.entry("nodes", number);
      if (values_.failed()) break;
      if (!seen_.insert(number).second) values_.fail(node, "hangs on two nodes, or on itself");
      const Eigen::Matrix4d placed = parent * matrix_of(node);
      if (const auto mesh = values_.optional_count(node, "mesh")) add_mesh(node, *mesh, placed);
      const auto children = values_.counts(node, "children");
      for (auto child = children.rbegin(); child != children.rend(); ++child) waiting.emplace_back(*child, placed);
    }
    return values_.trouble();
  }

  std::vector<Vector3d> corners;

 private:
  void check_document() {
    const auto asset = values_.optional_object(values_.root(), "asset");
    const std::string version = asset ? values_.optional_text(*asset, "version") : "";
    if (version.empty()) values_.fail(values_.root(), "has no asset.version");
    if (!version.starts_with("2."))
      values_.fail(values_.root(), fmt::format("is glTF {}, and glTF 2 is read", version));
    for (const auto& extension : values_.texts(values_.root(), "extensionsRequired"))
      if (!shapes_nothing(extension))
        values_.fail(values_.root(), fmt::format("needs {}, which is not read", extension));
  }

  std::vector<std::size_t> roots_of_scene() {
    const std::size_t scene = values_.optional_count(values_.root(), "scene").value_or(0);
    if (values_.failed()) return {};
    return values_.counts(values_.entry("scenes", scene), "nodes");
  }

  /// Pose of a node in its parent: a matrix, column by column, or shift, turn and scale (glTF 2.0, 3.5.3).
  Eigen::Matrix4d matrix_of(const GltfObject& node) {
    const auto matrix = values_.numbers(node, "matrix", 16);
    if (!matrix.empty()) {
      const Eigen::Matrix4d given = Eigen::Map<const Eigen::Matrix4d>(matrix.data());
      if (given.row(3) != Eigen::RowVector4d(0, 0, 0, 1)) values_.fail(node, "has a matrix that is no placement");
      return given;
    }
    Eigen::Affine3d placed = Eigen::Affine3d::Identity();
    const auto shift = values_.numbers(node, "translation", 3), turn = values_.numbers(node, "rotation", 4),
               scale = values_.numbers(node, "scale", 3);
    if (!shift.empty()) placed.translate(Vector3d(shift[0], shift[1], shift[2]));
    if (!turn.empty()) {
      const Eigen::Quaterniond quaternion(turn[3], turn[0], turn[1], turn[2]);
      if (!(quaternion.norm() > 1e-6)) values_.fail(node, "has a rotation that is none");
      placed.rotate(quaternion.normalized());
    }
    if (!scale.empty()) placed.scale(Vector3d(scale[0], scale[1], scale[2]));
    return placed.matrix();
  }

  void add_mesh(const GltfObject& node, std::size_t mesh, const Eigen::Matrix4d& placed) {
    if (values_.optional_count(node, "skin")) values_.fail(node, "bends its mesh by a skin, which is not read");
    if (const auto extensions = values_.optional_object(node, "extensions"))
      if (values_.optional_object(*extensions, "EXT_mesh_gpu_instancing"))
        values_.fail(node, "repeats its mesh by EXT_mesh_gpu_instancing, which is not read");
    check_weights(node);
    if (values_.failed()) return;
    for (const Primitive& primitive : primitives_of(mesh)) {
      if (corners.size() / 3 + primitive.triangles() > most_triangles) too_many(node);
      if (values_.failed()) return;
      append(primitive, placed);
    }
  }

  void too_many(const GltfObject& where) {
    values_.fail(where, fmt::format("brings the file to more than {} million triangles, the most that is read",
                                    most_triangles / 1'000'000));
  }

  void check_weights(const GltfObject& object) {
    for (const double weight : values_.numbers(object, "weights", std::nullopt))
      if (weight != 0) values_.fail(object, "bends a mesh by weights, which are not read");
  }

  const std::vector<Primitive>& primitives_of(std::size_t number) {
    const auto known = meshes_.find(number);
    if (known != meshes_.end()) return known->second;
    std::vector<Primitive>& all = meshes_[number];
    const GltfObject mesh = values_.entry("meshes", number);
    check_weights(mesh);
    for (const GltfObject& entry : values_.objects(mesh, "primitives")) {
      const auto primitive = primitive_of(entry);
      if (values_.failed()) break;
      if (primitive && primitive->triangles() > 0) all.push_back(*primitive);
    }
    return all;
  }

  /// Nothing for points and lines, which bound nothing.
  std::optional<Primitive> primitive_of(const GltfObject& entry) {
    Primitive primitive;
    primitive.mode = values_.optional_count(entry, "mode").value_or(triangle_list);
    if (primitive.mode > triangle_fan) values_.fail(entry, "has a mode that there is none");
    if (values_.failed() || primitive.mode < triangle_list) return {};
    const auto attributes = values_.optional_object(entry, "attributes");
    const auto positions = attributes ? values_.optional_count(*attributes, "POSITION") : std::nullopt;
    if (!positions) values_.fail(entry, "has no positions");
    if (values_.failed()) return {};
    primitive.positions = gltf_positions(values_, buffers_, *positions);
    if (const auto indices = values_.optional_count(entry, "indices"))
      primitive.indices = gltf_indices(values_, buffers_, *indices);
    if (values_.failed()) return {};
    if (primitive.mode == triangle_list && primitive.corners() % 3 != 0)
      values_.fail(entry, fmt::format("has {} corners, which make no whole triangles", primitive.corners()));
    prepared_ += primitive.triangles();
    if (prepared_ > most_triangles) too_many(entry);
    for (std::size_t i = 0; primitive.indices && i < primitive.indices->count && !values_.failed(); ++i)
      if (const std::size_t index = primitive.indices->index(i); index >= primitive.positions.count)
        values_.fail(entry, fmt::format("asks for position {}, but has {}", index, primitive.positions.count));
    return primitive;
  }

  /// A mirrored placement is turned right side out again.
  void append(const Primitive& primitive, const Eigen::Matrix4d& placed) {
    const Eigen::Matrix3d linear = placed.topLeftCorner<3, 3>();
    const Vector3d shift = placed.topRightCorner<3, 1>();
    const bool mirrored = linear.determinant() < 0;
    for (std::size_t t = 0; t < primitive.triangles(); ++t) {
      const auto triangle = primitive.triangle(t);
      for (std::size_t i = 0; i < 3; ++i)
        corners.push_back(linear * primitive.positions.position(triangle[mirrored ? 2 - i : i]) + shift);
    }
  }

  GltfValues values_;
  GltfBuffers buffers_;
  std::set<std::size_t> seen_;
  std::map<std::size_t, std::vector<Primitive>> meshes_;
  std::size_t prepared_ = 0;  ///< triangles of these
};

}  // namespace

tl::expected<std::vector<Vector3d>, std::string> gltf_file_corners(const std::filesystem::path& file) {
  const auto refused = [&](const std::string& why) {
    return tl::unexpected(fmt::format("the mesh file {} can't be read as glTF ({})", file.string(), why));
  };
  const auto document = read_gltf(file);
  if (!document) return refused(document.error());
  Reader reader(*document);
  if (const std::string trouble = reader.read(); !trouble.empty()) return refused(trouble);
  return std::move(reader.corners);
}

}  // namespace cellproof
