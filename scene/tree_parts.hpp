// SPDX-License-Identifier: GPL-3.0-or-later
// How a set of triangles is parted for a search tree. Only the speed of searches hangs on it, so floats serve.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "scene/mesh.hpp"

namespace cellproof {

/// A triangle's box and number.
struct TreeItem {
  std::array<float, 3> low, high;
  std::uint32_t number;
};
std::vector<TreeItem> tree_items(const Mesh& mesh);

/// A run of items.
struct ItemRange {
  std::uint32_t begin = 0, end = 0;
  std::uint32_t size() const { return end - begin; }
};

/// Reorders a range and returns its two to eight parts, none empty; small ranges part in full leaves of eight.
/// Asked for more than eight items.
std::vector<ItemRange> part(std::vector<TreeItem>& items, ItemRange range);

}  // namespace cellproof
