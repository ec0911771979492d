// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/tree_parts.hpp"

#include <algorithm>
#include <limits>

namespace cellproof {

namespace {

constexpr std::uint32_t wide = 8;           // parts of a node, triangles of a leaf
constexpr std::uint32_t few = wide * wide;  // below this halves are counted, not measured
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

std::uint32_t cut_in_two(std::vector<TreeItem>& items, ItemRange range) {
  const FloatBox middles = box_of_middles(items, range);
  const std::size_t axis = longest_axis(middles);
  if (range.size() <= few) return part_by_count(items, range, axis, (range.size() / 2 + wide - 1) / wide * wide);
  const float extent = middles.high[axis] - middles.low[axis];
  if (!(extent > 0) || !(extent < std::numeric_limits<float>::max() / 1e3F) || !(extent > 1e-30F))
    return part_by_count(items, range, axis, range.size() / 2);
  return part_by_area(items, range, middles, axis);
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

std::vector<ItemRange> part(std::vector<TreeItem>& items, ItemRange range) {
  std::vector<ItemRange> parts = {range};
  parts.reserve(wide);
  while (parts.size() < wide) {
    const auto largest =
        std::max_element(parts.begin(), parts.end(), [](ItemRange a, ItemRange b) { return a.size() < b.size(); });
    if (largest->size() <= wide) break;
    const std::uint32_t cut = cut_in_two(items, *largest);
    parts.push_back({cut, largest->end});
    largest->end = cut;
  }
  return parts;
}

}  // namespace cellproof
