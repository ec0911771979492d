// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"
#include "scene/files/threemf_model.hpp"

namespace cellproof {

namespace {

/// Counts what the build stands for before any of it is made: a few lines of components that hold each other twice over
/// are more than any memory holds.
class Counter {
 public:
  explicit Counter(const ThreemfPackage& package) : package_(package) {}

  /// A clause: what is wrong; empty if nothing is.
  std::string trouble() {
    for (const auto& item : package_.items) {
      triangles += count(item.object, 0);
      if (triangles > most_triangles)
        return fmt::format("its components stand for more than {} million triangles, the most that is read",
                           most_triangles / 1'000'000);
    }
    return too_deep_ ? fmt::format("its components hold themselves, or are nested more than {} deep", deepest) : "";
  }

  std::size_t count(const ThreemfName& name, int depth) {
    const auto known = counts_.find(name);
    if (known != counts_.end()) return known->second;
    if (depth > deepest) {
      too_deep_ = true;
      return 0;
    }
    const ThreemfObject& object = package_.objects.at(name);
    std::size_t sum = object.triangles.size();
    for (const auto& component : object.components) {
      if (too_deep_) break;
      sum = std::min(sum + count(component.object, depth + 1), most_triangles + 1);
    }
    return counts_[name] = sum;
  }

  std::size_t triangles = 0;

 private:
  static constexpr int deepest = 64;
  const ThreemfPackage& package_;
  std::map<ThreemfName, std::size_t> counts_;
  bool too_deep_ = false;
};

void add_mesh(const ThreemfObject& object, const Eigen::Affine3d& at, std::vector<Vector3d>& corners) {
  const bool mirrored = at.linear().determinant() < 0;
  for (const Triangle& triangle : object.triangles)
    for (std::size_t i = 0; i < 3; ++i) corners.push_back(at * object.vertices[triangle[mirrored ? 2 - i : i]]);
}

void add_object(const ThreemfPackage& package, Counter& counter, const ThreemfPlaced& placed,
                const Eigen::Affine3d& parent, std::vector<Vector3d>& corners) {
  if (counter.count(placed.object, 0) == 0) return;  // however often nothing is placed
  const ThreemfObject& object = package.objects.at(placed.object);
  const Eigen::Affine3d at = parent * placed.at;
  add_mesh(object, at, corners);
  for (const auto& component : object.components) add_object(package, counter, component, at, corners);
}

}  // namespace

tl::expected<std::vector<Vector3d>, std::string> threemf_corners(const std::filesystem::path& file) {
  const auto refused = [&](const std::string& why) {
    return tl::unexpected(fmt::format("the mesh file {} can't be read as 3MF ({})", file.string(), why));
  };
  const auto archive = open_zip(file);
  if (!archive) return refused(archive.error());
  const auto package = read_threemf(*archive);
  if (!package) return refused(package.error());
  Counter counter(*package);
  if (const std::string trouble = counter.trouble(); !trouble.empty()) return refused(trouble);
  std::vector<Vector3d> corners;
  corners.reserve(3 * counter.triangles);
  const Eigen::Affine3d unit(Eigen::Scaling(package->unit_mm));
  for (const auto& item : package->items) add_object(*package, counter, item, unit, corners);
  return corners;
}

}  // namespace cellproof
