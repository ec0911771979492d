// SPDX-License-Identifier: GPL-3.0-or-later
// Two search trees searched together, the nearest boxes first.
#pragma once

#include <algorithm>
#include <cmath>

#include "scene/search_tree.hpp"
#include "scene/triangle_lanes.hpp"

namespace cellproof {

/// Two meshes' frames in each other.
struct FramePair {
  Pose b_in_a, a_in_b;
};
FramePair frame_pair(const Pose& a_in_world, const Pose& b_in_world);

/// From the middle of a's box to that of b's, in a's frame.
Vector3d between_middles(const Box& a, const Box& b, const FramePair& frames);

inline void put(double (&to)[3], const Vector3d& from) {
  Eigen::Map<Vector3d>{to} = from;
}
lanes::OneBox placed(const lanes::OneBox& box, const Pose& pose);
lanes::OneTriangle placed(const lanes::OneTriangle& triangle, const Pose& pose);

/// A unit direction to compare shadows on. Any length is given; along x if that is 0.
lanes::Sight sight_along(const Vector3d& direction_in_a, const FramePair& frames);

/// Boxes of the two trees, and the square of what they are apart at least.
struct SlotPair {
  Slot a = SearchTree::root, b = SearchTree::root;
  double squared = 0;
};

/// The larger box of a pair is opened; a leaf never is.
bool opens_a(const SearchTree& a, const SearchTree& b, const SlotPair& pair);
bool both_leaves(const SearchTree& a, const SearchTree& b, const SlotPair& pair);

/// Calls keep(pair) for the parts of a pair of boxes that are nearer than the query's limit.
template <class Query, class Keep>
void open(const SearchTree& a, const SearchTree& b, const FramePair& frames, const SlotPair& pair, const Query& query,
          Keep keep) {
  const bool in_a = opens_a(a, b, pair);
  const std::uint32_t held = in_a ? a.held(pair.a) : b.held(pair.b);
  const SearchTree::Node& node = in_a ? a.nodes[held] : b.nodes[held];
  lanes::FloatRow squared;
  if (in_a)
    query.gaps_of_a(node.boxes, placed(box_of(b, pair.b), frames.b_in_a), squared);
  else
    query.gaps_of_b(node.boxes, placed(box_of(a, pair.a), frames.a_in_b), squared);
  const double limit = query.squared_limit();
  for (std::uint32_t lane = 0; lane < node.count; ++lane) {
    const Slot slot = held * lanes::count + lane;
    if (squared[lane] < limit)
      keep(in_a ? SlotPair{slot, pair.b, squared[lane]} : SlotPair{pair.a, slot, squared[lane]});
  }
}

template <class Query>
void show_leaves(const SearchTree& a, const SearchTree& b, const SlotPair& pair, Query& query) {
  query.leaves(a.leaves[a.held(pair.a) & ~SearchTree::leaf_bit], b.leaves[b.held(pair.b) & ~SearchTree::leaf_bit]);
}

/// Straight down, always to the nearest part: shows a query one pair of leaves that is near.
template <class Query>
void dive(const SearchTree& a, const SearchTree& b, const FramePair& frames, Query& query) {
  SlotPair pair;
  while (!both_leaves(a, b, pair)) {
    SlotPair next{pair.a, pair.b, std::numeric_limits<double>::infinity()};
    open(a, b, frames, pair, query, [&](const SlotPair& part) {
      if (part.squared < next.squared) next = part;
    });
    if (std::isinf(next.squared)) return;
    pair = next;
  }
  show_leaves(a, b, pair, query);
}

/// Keeps the parts above `base` with the nearest on top.
inline void push_sorted(std::vector<SlotPair>& stack, std::size_t base, const SlotPair& pair) {
  stack.push_back(pair);
  std::size_t i = stack.size() - 1;
  for (; i > base && stack[i - 1].squared < pair.squared; --i) stack[i] = stack[i - 1];
  stack[i] = pair;
}

/// Shows a query every pair of leaves that may be nearer than its limit, near ones first. The query says
///   squared_limit()                          pairs of boxes at least this far apart don't matter; may shrink
///   gaps_of_a(boxes of a, box of b in a, squared)
///   gaps_of_b(boxes of b, box of a in b, squared)
///   leaves(leaf of a, leaf of b)
template <class Query>
void descend(const SearchTree& a, const SearchTree& b, const FramePair& frames, Query& query) {
  std::vector<SlotPair> stack;
  stack.reserve(512);
  stack.push_back(SlotPair{});
  while (!stack.empty()) {
    const SlotPair pair = stack.back();
    stack.pop_back();
    if (pair.squared >= query.squared_limit()) continue;
    if (both_leaves(a, b, pair)) {
      show_leaves(a, b, pair, query);
      continue;
    }
    const std::size_t base = stack.size();
    open(a, b, frames, pair, query, [&](const SlotPair& part) { push_sorted(stack, base, part); });
  }
}

}  // namespace cellproof
