// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh's triangles under boxes of boxes, eight to a node, about a place near the mesh.
#pragma once

#include <cstdint>
#include <vector>

#include "scene/mesh/mesh.hpp"
#include "scene/solids/lanes.hpp"
#include "scene/solids/point_lanes.hpp"

namespace cellproof {

/// A box of the tree: a lane of a node, numbered 8 node + lane.
using Slot = std::uint32_t;

struct SearchTree {
  /// What a box holds: a node, or `leaf_bit` and a leaf.
  static constexpr std::uint32_t leaf_bit = 0x80000000;

  struct Node {
    lanes::Boxes boxes;  ///< turned as their triangles lie
    std::uint32_t held[lanes::count];
    std::uint32_t count = 0;  ///< lanes in use, the first ones
  };
  struct Leaf {
    lanes::Triangles triangles;          ///< unused lanes repeat the first
    std::uint32_t number[lanes::count];  ///< in the mesh
    std::uint32_t count = 0;
  };

  /// In the mesh's frame: positions in the tree are the mesh's less this, so that floats tell them apart however far
  /// off the mesh is drawn.
  Vector3d origin = Vector3d::Zero();
  std::vector<Node> nodes;  ///< the first has one lane, `root`, with everything
  std::vector<Leaf> leaves;
  std::vector<lanes::Points> leaf_points;  ///< a leaf's corners, each once, or its box's if it has too many
  double extent = 0;                       ///< no coordinates of a corner add up to more
  static constexpr Slot root = 0;

  std::uint32_t held(Slot slot) const { return nodes[slot / lanes::count].held[slot % lanes::count]; }
};

/// At least one triangle. Planes that part large sets are chosen by the areas of the halves' boxes (J. D. MacDonald,
/// K. S. Booth, 1990), boxes are turned to the principal axes of their surface where that makes them smaller (after
/// S. Gottschalk, M. Lin, D. Manocha, OBBTree, 1996).
SearchTree build_search_tree(const Mesh& mesh);

lanes::OneBox box_of(const SearchTree& tree, Slot slot);
lanes::OneTriangle triangle_of(const SearchTree::Leaf& leaf, std::uint32_t lane);

/// Bits of the lanes in use.
inline unsigned used_lanes(const SearchTree::Leaf& leaf) {
  return (1U << leaf.count) - 1U;
}
inline unsigned used_lanes(const SearchTree::Node& node) {
  return (1U << node.count) - 1U;
}

std::size_t bytes_of(const SearchTree& tree);

}  // namespace cellproof
