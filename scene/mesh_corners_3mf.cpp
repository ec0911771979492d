// SPDX-License-Identifier: GPL-3.0-or-later
#include <memory>

#include <Common/NMR_ErrorConst.h>
#include <Model/COM/NMR_DLLInterfaces.h>
#include <fmt/format.h>

#include "scene/mesh_corners.hpp"

namespace cellproof {

namespace {

using namespace NMR;

/// Something of the library's, given back at the end.
template <class Thing>
class Kept {
 public:
  Kept() = default;
  Kept(const Kept&) = delete;
  Kept& operator=(const Kept&) = delete;
  ~Kept() {
    if (thing_) lib3mf_release(thing_);
  }
  Thing** place() { return &thing_; }
  Thing* get() const { return thing_; }

 private:
  Thing* thing_ = nullptr;
};

/// Components may hold components; a file in which they hold themselves is broken.
constexpr int deepest = 64;

/// Components that hold each other twice over, again and again, are more than any memory holds in a file of a few
/// lines.
constexpr std::size_t most_objects = 100'000, most_triangles = 10'000'000;

class Reader {
 public:
  /// False if anything of the file can't be had.
  bool read(const std::string& file) {
    Kept<PLib3MFModel> model;
    Kept<PLib3MFModelReader> reader;
    Kept<PLib3MFModelBuildItemIterator> items;
    DWORD unit = 0;
    if (lib3mf_createmodel(model.place()) != 0) return false;
    if (lib3mf_model_queryreader(model.get(), "3mf", reader.place()) != 0) return false;
    if (lib3mf_reader_readfromfileutf8(reader.get(), file.c_str()) != 0) return false;
    if (unit_unknown(reader.get()) || lib3mf_model_getunit(model.get(), &unit) != 0) return false;
    if (lib3mf_model_getbuilditems(model.get(), items.place()) != 0) return false;
    const double mm = unit_mm(unit);
    if (!(mm > 0)) return false;
    BOOL more = 0;
    while (lib3mf_builditemiterator_movenext(items.get(), &more) == 0 && more)
      if (!add_item(items.get(), mm)) return false;
    return true;
  }

  std::vector<Vector3d> corners;

 private:
  /// The library takes a unit it does not know for millimetres and leaves a warning.
  static bool unit_unknown(PLib3MFModelReader* reader) {
    DWORD warnings = 0, code = 0;
    ULONG needed = 0;
    if (lib3mf_reader_getwarningcount(reader, &warnings) != 0) return true;
    for (DWORD i = 0; i < warnings; ++i)
      if (lib3mf_reader_getwarningutf8(reader, i, &code, nullptr, 0, &needed) != 0 ||
          code == NMR_ERROR_INVALIDMODELUNIT)
        return true;
    return false;
  }

  static double unit_mm(DWORD unit) {
    switch (unit) {
      case MODELUNIT_MICROMETER:
        return 0.001;
      case MODELUNIT_MILLIMETER:
        return 1;
      case MODELUNIT_CENTIMETER:
        return 10;
      case MODELUNIT_INCH:
        return 25.4;
      case MODELUNIT_FOOT:
        return 304.8;
      case MODELUNIT_METER:
        return 1000;
      default:
        return 0;
    }
  }

  static Eigen::Affine3d affine(const MODELTRANSFORM& transform) {
    Eigen::Affine3d result;
    for (int row = 0; row < 3; ++row)
      for (int column = 0; column < 4; ++column)
        result.matrix()(row, column) = static_cast<double>(transform.m_fFields[row][column]);
    result.makeAffine();
    return result;
  }

  bool add_item(PLib3MFModelBuildItemIterator* items, double mm) {
    Kept<PLib3MFModelBuildItem> item;
    Kept<PLib3MFModelObjectResource> object;
    BOOL placed = 0;
    if (lib3mf_builditemiterator_getcurrent(items, item.place()) != 0) return false;
    if (lib3mf_builditem_getobjectresource(item.get(), object.place()) != 0) return false;
    if (lib3mf_builditem_hasobjecttransform(item.get(), &placed) != 0) return false;
    Eigen::Affine3d at(Eigen::Scaling(mm));
    MODELTRANSFORM transform;
    if (placed) {
      if (lib3mf_builditem_getobjecttransform(item.get(), &transform) != 0) return false;
      at = at * affine(transform);
    }
    return add_object(object.get(), at, 0);
  }

  bool add_object(PLib3MFModelObjectResource* object, const Eigen::Affine3d& at, int depth) {
    BOOL is_mesh = 0;
    if (depth > deepest || ++objects_ > most_objects || lib3mf_object_ismeshobject(object, &is_mesh) != 0) return false;
    return is_mesh ? add_mesh(object, at) : add_components(object, at, depth);
  }

  bool add_components(PLib3MFModelObjectResource* object, const Eigen::Affine3d& at, int depth) {
    DWORD count = 0;
    if (lib3mf_componentsobject_getcomponentcount(object, &count) != 0) return false;
    for (DWORD i = 0; i < count; ++i) {
      Kept<PLib3MFModelComponent> component;
      Kept<PLib3MFModelObjectResource> inner;
      BOOL placed = 0;
      MODELTRANSFORM transform;
      if (lib3mf_componentsobject_getcomponent(object, i, component.place()) != 0) return false;
      if (lib3mf_component_getobjectresource(component.get(), inner.place()) != 0) return false;
      if (lib3mf_component_hastransform(component.get(), &placed) != 0) return false;
      if (placed && lib3mf_component_gettransform(component.get(), &transform) != 0) return false;
      if (!add_object(inner.get(), placed ? at * affine(transform) : at, depth + 1)) return false;
    }
    return true;
  }

  bool add_mesh(PLib3MFModelMeshObject* mesh, const Eigen::Affine3d& at) {
    DWORD vertex_count = 0, triangle_count = 0;
    if (lib3mf_meshobject_getvertexcount(mesh, &vertex_count) != 0) return false;
    if (lib3mf_meshobject_gettrianglecount(mesh, &triangle_count) != 0) return false;
    if (vertex_count == 0 || triangle_count == 0) return true;
    if (triangle_count > most_triangles - corners.size() / 3) return false;
    std::vector<MODELMESHVERTEX> vertices(vertex_count);
    std::vector<MODELMESHTRIANGLE> triangles(triangle_count);
    if (lib3mf_meshobject_getvertices(mesh, vertices.data(), vertex_count, nullptr) != 0) return false;
    if (lib3mf_meshobject_gettriangleindices(mesh, triangles.data(), triangle_count, nullptr) != 0) return false;
    const bool mirrored = at.linear().determinant() < 0;
    for (const auto& triangle : triangles)
      for (int i = 0; i < 3; ++i) {
        const DWORD index = triangle.m_nIndices[mirrored ? 2 - i : i];
        if (index >= vertex_count) return false;
        const auto& position = vertices[index].m_fPosition;
        corners.push_back(at * Vector3d(position[0], position[1], position[2]));
      }
    return true;
  }

  std::size_t objects_ = 0;
};

}  // namespace

tl::expected<std::vector<Vector3d>, std::string> threemf_corners(const std::filesystem::path& file) {
  Reader reader;
  if (!reader.read(file.string()))
    return tl::unexpected(fmt::format("the mesh file {} can't be read as 3MF", file.string()));
  return std::move(reader.corners);
}

}  // namespace cellproof
