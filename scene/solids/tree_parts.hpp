// SPDX-License-Identifier: GPL-3.0-or-later
// How a set of triangles is parted for a search tree. Only the speed of searches hangs on it, so floats serve.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "scene/mesh/mesh.hpp"

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

/// Reorders a range of two items or more and returns its two to eight parts, none empty.
std::vector<ItemRange> part(std::vector<TreeItem>& items, ItemRange range);

/// True for up to eight items whose box is not much larger than the two boxes that they could be parted into. Reorders
/// the range.
bool fits_a_leaf(std::vector<TreeItem>& items, ItemRange range);

}  // namespace cellproof
