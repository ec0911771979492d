// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/model_store.hpp"

#include <map>

#include <fmt/format.h>

#include "scene/basics/parallel.hpp"
#include "scene/files/mesh_format.hpp"
#include "scene/files/mesh_import.hpp"
#include "scene/files/step_import.hpp"
#include "scene/mesh/primitives.hpp"
#include "scene/mesh/simplify.hpp"
#include "scene/mesh/weld.hpp"

namespace cellproof {

namespace {

using Opened = tl::expected<Model, ModelError>;

/// Equal shapes have equal keys.
struct KeyOfShape {
  std::string operator()(const MeshSource& mesh) const {
    return fmt::format("mesh {} {} {:a} {:a} {}", mesh.file.string(), mesh.unit_mm.value_or(0),
                       mesh.simplify_mm.value_or(0), mesh.deviation_mm, mesh.solid);
  }
  std::string operator()(const BoxShape& box) const {
    return fmt::format("box {} {} {}", box.size.x(), box.size.y(), box.size.z());
  }
  std::string operator()(const CylinderShape& cylinder) const {
    return fmt::format("cylinder {} {}", cylinder.radius, cylinder.height);
  }
  std::string operator()(const SphereShape& sphere) const { return fmt::format("sphere {}", sphere.radius); }
};

struct MeshOfShape {
  const std::filesystem::path& folder;
  const std::stop_token& stop;
  using Result = tl::expected<ImportedMesh, ModelError>;
  Result operator()(const MeshSource& source) const {
    Result opened = read(source);
    if (opened && source.simplify_mm) opened->mesh = simplify(opened->mesh, *source.simplify_mm);
    return opened;
  }
  Result operator()(const BoxShape& box) const { return ImportedMesh{box_mesh(box.size), 0}; }
  Result operator()(const CylinderShape& shape) const {
    return ImportedMesh{cylinder_mesh(shape.radius, shape.height), 0};
  }
  Result operator()(const SphereShape& sphere) const { return ImportedMesh{sphere_mesh(sphere.radius), 0}; }

 private:
  Result read(const MeshSource& source) const {
    if (holds_solids(source.file)) {
      auto step = import_step({folder / source.file, source.deviation_mm, source.solid}, stop);
      if (!step) return tl::unexpected(step.error());
      return ImportedMesh{std::move(*step), 0};
    }
    auto mesh = import_mesh(folder / source.file, source.unit_mm.value_or(1.0));
    if (!mesh) return tl::unexpected(ModelError{mesh.error(), "check the path and export the model again"});
    return std::move(*mesh);
  }
};

Opened open_model(const Shape& shape, const std::filesystem::path& folder, const std::stop_token& stop) {
  auto mesh = std::visit(MeshOfShape{folder, stop}, shape);
  if (!mesh) return tl::unexpected(mesh.error());
  Model model;
  model.degenerate_dropped = mesh->degenerate_dropped;
  model.rays = make_ray_body(mesh->mesh);
  model.solid = std::make_shared<const Solid>(std::move(mesh->mesh));
  return model;
}

}  // namespace

std::vector<Opened> open_models(const std::vector<ModelRequest>& requests, const std::filesystem::path& folder,
                                const std::stop_token& stop, int threads) {
  std::map<std::string, std::size_t> first;
  std::vector<std::size_t> unique, which;
  for (std::size_t i = 0; i < requests.size(); ++i) {
    const auto [entry, is_new] = first.emplace(std::visit(KeyOfShape{}, requests[i].shape), unique.size());
    if (is_new) unique.push_back(i);
    which.push_back(entry->second);
  }
  std::vector<Opened> opened(unique.size());
  parallel_for(unique.size(), threads, stop,
               [&](std::size_t i) { opened[i] = open_model(requests[unique[i]].shape, folder, stop); });
  std::vector<Opened> answers;
  for (const std::size_t i : which) answers.push_back(opened[i]);
  return answers;
}

}  // namespace cellproof
