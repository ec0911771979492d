// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/tree_parts.hpp"

#include <algorithm>
#include <limits>

namespace cellproof {

namespace {

constexpr std::uint32_t wide = 8;           // parts of a node, triangles of a leaf
constexpr std::uint32_t few = wide * wide;  // up to this every cut is tried
constexpr float loose = 0.6F;               // of a leaf's area: two leaves of less are better than the one
constexpr std::size_t bin_count = 16;

struct FloatBox {
  std::array<float, 3> low, high;
  FloatBox() {
    low.fill(std::numeric_limits<float>::infinity());
    high.fill(-std::numeric_limits<float>::infinity());
  }
  void add(const std::array<float, 3>& other_low, const std::array<float, 3>& other_high) {
    for (std::size_t k = 0; k < 3; ++k) {
      low[k] = std::min(low[k], other_low[k]);
      high[k] = std::max(high[k], other_high[k]);
    }
  }
  float half_area() const {
    const float x = high[0] - low[0], y = high[1] - low[1], z = high[2] - low[2];
    return x * y + y * z + z * x;
  }
};

/// Twice the middle.
float middle(const TreeItem& item, std::size_t axis) {
  return item.low[axis] + item.high[axis];
}

FloatBox box_of_middles(const std::vector<TreeItem>& items, ItemRange range) {
  FloatBox box;
  for (std::uint32_t i = range.begin; i < range.end; ++i) {
    const std::array<float, 3> at = {middle(items[i], 0), middle(items[i], 1), middle(items[i], 2)};
    box.add(at, at);
  }
  return box;
}

std::size_t longest_axis(const FloatBox& box) {
  std::size_t axis = 0;
  for (std::size_t k = 1; k < 3; ++k)
    if (box.high[k] - box.low[k] > box.high[axis] - box.low[axis]) axis = k;
  return axis;
}

std::uint32_t part_by_count(std::vector<TreeItem>& items, ItemRange range, std::size_t axis, std::uint32_t left) {
  const auto first = items.begin() + range.begin;
  std::nth_element(first, first + left, items.begin() + range.end, [axis](const TreeItem& a, const TreeItem& b) {
    return middle(a, axis) != middle(b, axis) ? middle(a, axis) < middle(b, axis) : a.number < b.number;
  });
  return range.begin + left;
}

struct Bin {
  FloatBox box;
  std::uint32_t count = 0;
};
using Bins = std::array<Bin, bin_count>;

void add(Bin& sum, const Bin& bin) {
  sum.box.add(bin.box.low, bin.box.high);
  sum.count += bin.count;
}

float cost(const Bin& side) {
  return side.count == 0 ? 0 : side.box.half_area() * static_cast<float>(side.count);
}

/// The number of bins on the left that makes the two sides' areas times counts least; 0 if nothing parts them.
std::size_t cheapest_cut(const Bins& bins) {
  std::array<Bin, bin_count> right;
  for (std::size_t i = bin_count; i-- > 0;) {
    right[i] = bins[i];
    if (i + 1 < bin_count) add(right[i], right[i + 1]);
  }
  std::size_t best = 0;
  float least = std::numeric_limits<float>::infinity();
  Bin left;
  for (std::size_t cut = 1; cut < bin_count; ++cut) {
    add(left, bins[cut - 1]);
    const float here = cost(left) + cost(right[cut]);
    if (left.count == 0 || right[cut].count == 0 || !(here < least)) continue;
    least = here;
    best = cut;
  }
  return best;
}

/// Where the range is cut in two; both sides hold something.
std::uint32_t part_by_area(std::vector<TreeItem>& items, ItemRange range, const FloatBox& middles, std::size_t axis) {
  const float low = middles.low[axis], scale = static_cast<float>(bin_count) / (middles.high[axis] - low);
  const auto bin_of = [&](const TreeItem& item) {
    return std::min(bin_count - 1, static_cast<std::size_t>((middle(item, axis) - low) * scale));
  };
  Bins bins;
  for (std::uint32_t i = range.begin; i < range.end; ++i) {
    Bin& bin = bins[bin_of(items[i])];
    bin.box.add(items[i].low, items[i].high);
    ++bin.count;
  }
  const std::size_t cut = cheapest_cut(bins);
  if (cut == 0) return part_by_count(items, range, axis, range.size() / 2);
  const auto found = std::partition(items.begin() + range.begin, items.begin() + range.end,
                                    [&](const TreeItem& item) { return bin_of(item) < cut; });
  return static_cast<std::uint32_t>(found - items.begin());
}

struct TreeCut {
  std::size_t axis = 0;
  std::uint32_t left = 0;  ///< items on the left
  float cost = std::numeric_limits<float>::infinity();
};

float leaves(std::uint32_t items) {
  const std::uint32_t whole = (items + wide - 1) / wide;
  return static_cast<float>(whole);
}

void sort_along(std::vector<TreeItem>& items, ItemRange range, std::size_t axis) {
  std::sort(items.begin() + range.begin, items.begin() + range.end, [axis](const TreeItem& a, const TreeItem& b) {
    return middle(a, axis) != middle(b, axis) ? middle(a, axis) < middle(b, axis) : a.number < b.number;
  });
}

/// Of all cuts of a small range along one axis, by which it is sorted, the one whose sides' areas times leaves are
/// least.
TreeCut cheapest_along(const std::vector<TreeItem>& items, ItemRange range, std::size_t axis) {
  std::array<float, few> right;
  FloatBox box;
  for (std::uint32_t i = range.size(); i-- > 1;) {
    box.add(items[range.begin + i].low, items[range.begin + i].high);
    right[i] = box.half_area() * leaves(range.size() - i);
  }
  TreeCut best;
  box = {};
  for (std::uint32_t i = 1; i < range.size(); ++i) {
    box.add(items[range.begin + i - 1].low, items[range.begin + i - 1].high);
    const float cost = box.half_area() * leaves(i) + right[i];
    if (cost < best.cost) best = {axis, i, cost};
  }
  return best;
}

/// Of a range of 2 to `few` items. Leaves it sorted along some axis.
TreeCut cheapest_of_all(std::vector<TreeItem>& items, ItemRange range) {
  TreeCut best;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    sort_along(items, range, axis);
    const TreeCut cut = cheapest_along(items, range, axis);
    if (cut.cost < best.cost) best = cut;
  }
  return best;
}

std::uint32_t cut_in_two(std::vector<TreeItem>& items, ItemRange range) {
  if (range.size() <= few) {
    const TreeCut cut = cheapest_of_all(items, range);
    if (cut.left == 0) return range.begin + range.size() / 2;
    sort_along(items, range, cut.axis);
    return range.begin + cut.left;
  }
  const FloatBox middles = box_of_middles(items, range);
  const std::size_t axis = longest_axis(middles);
  const float extent = middles.high[axis] - middles.low[axis];
  if (!(extent > 0) || !(extent < std::numeric_limits<float>::max() / 1e3F) || !(extent > 1e-30F))
    return part_by_count(items, range, axis, range.size() / 2);
  return part_by_area(items, range, middles, axis);
}

/// How large a part of a node may be left: nodes near the leaves, which searches open most, are to be full, and what is
/// missing is to be missing in few nodes near the root.
std::uint32_t enough_for_a_part(std::uint32_t items) {
  constexpr std::uint32_t full_node = few, full_parts = wide - 1;  // one less than fit, as parts are uneven
  if (items <= full_node) return wide;
  std::uint32_t enough = full_node;
  while (items / full_parts > enough) enough *= full_parts;
  return enough;
}

}  // namespace

std::vector<TreeItem> tree_items(const Mesh& mesh) {
  std::vector<TreeItem> items;
  items.reserve(mesh.triangles.size());
  for (const Triangle& triangle : mesh.triangles) {
    FloatBox box;
    for (const std::uint32_t v : triangle) {
      const std::array<float, 3> at = {static_cast<float>(mesh.vertices[v].x()),
                                       static_cast<float>(mesh.vertices[v].y()),
                                       static_cast<float>(mesh.vertices[v].z())};
      box.add(at, at);
    }
    items.push_back({box.low, box.high, static_cast<std::uint32_t>(items.size())});
  }
  return items;
}

bool fits_a_leaf(std::vector<TreeItem>& items, ItemRange range) {
  if (range.size() > wide) return false;
  if (range.size() < 2) return true;
  FloatBox whole;
  for (std::uint32_t i = range.begin; i < range.end; ++i) whole.add(items[i].low, items[i].high);
  return !(cheapest_of_all(items, range).cost < loose * whole.half_area());
}

std::vector<ItemRange> part(std::vector<TreeItem>& items, ItemRange range) {
  const std::uint32_t enough = enough_for_a_part(range.size());
  std::vector<ItemRange> parts = {range};
  parts.reserve(wide);
  while (parts.size() < wide) {
    const auto largest =
        std::max_element(parts.begin(), parts.end(), [](ItemRange a, ItemRange b) { return a.size() < b.size(); });
    if (largest->size() <= enough && (parts.size() > 1 || largest->size() < 2)) break;
    const std::uint32_t cut = cut_in_two(items, *largest);
    parts.push_back({cut, largest->end});
    largest->end = cut;
  }
  return parts;
}

}  // namespace cellproof
