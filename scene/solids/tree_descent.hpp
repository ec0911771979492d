// SPDX-License-Identifier: GPL-3.0-or-later
// Two search trees searched together, the nearest boxes first.
#pragma once

#include <bit>
#include <optional>
#include <vector>

#include "scene/solids/box_lanes.hpp"
#include "scene/solids/search_tree.hpp"
#include "scene/solids/triangle_lanes.hpp"

namespace cellproof {

/// Two trees' frames in each other.
struct FramePair {
  Pose b_in_a, a_in_b;
};
FramePair frame_pair(const Pose& a_in_world, const Pose& b_in_world);

inline void put(double (&to)[3], const Vector3d& from) {
  Eigen::Map<Vector3d>{to} = from;
}
lanes::OneBox placed(const lanes::OneBox& box, const Pose& pose);
lanes::OneTriangle placed(const lanes::OneTriangle& triangle, const Pose& pose);

/// A unit direction to compare shadows on. Any length is given; along x if that is 0.
lanes::SharedDirection sight_along(const Vector3d& direction_in_a, const FramePair& frames);

/// Boxes of the two trees, and the square of what they are apart at least.
struct SlotPair {
  Slot a = SearchTree::root, b = SearchTree::root;
  float squared = 0;
};

inline bool is_leaf(const SearchTree& tree, Slot slot) {
  return (tree.held(slot) & SearchTree::leaf_bit) != 0;
}

inline float squared_size(const SearchTree& tree, Slot slot) {
  const lanes::FloatRow(&half)[3] = tree.nodes[slot / lanes::count].boxes.half;
  const std::size_t lane = slot % lanes::count;
  return half[0][lane] * half[0][lane] + half[1][lane] * half[1][lane] + half[2][lane] * half[2][lane];
}

/// The larger box of a pair is opened; a leaf never is.
inline bool opens_a(const SearchTree& a, const SearchTree& b, const SlotPair& pair) {
  if (is_leaf(a, pair.a)) return false;
  return is_leaf(b, pair.b) || squared_size(a, pair.a) >= squared_size(b, pair.b);
}

/// Pairs of boxes still to be looked into. Numbers of one kind each: a pair that is written in parts and read whole
/// would wait for its parts.
class PairStack {
 public:
  PairStack() : slots_(128), squared_(128) { put(top_++, SlotPair{}); }
  bool empty() const { return top_ == 0; }
  SlotPair pop() {
    const std::uint64_t slots = slots_[--top_];
    return {static_cast<Slot>(slots >> 32), static_cast<Slot>(slots), squared_[top_]};
  }

  /// The parts of one pair that `near` has bits for, the nearest on top.
  template <class PartOf>
  void push(unsigned near, const PartOf& part_of) {
    if (top_ + lanes::count > slots_.size()) grow();
    const std::size_t base = top_;
    for (; near != 0; near &= near - 1) {
      const SlotPair pair = part_of(static_cast<std::uint32_t>(std::countr_zero(near)));
      std::size_t i = top_++;
      for (; i > base && squared_[i - 1] < pair.squared; --i) {
        squared_[i] = squared_[i - 1];
        slots_[i] = slots_[i - 1];
      }
      put(i, pair);
    }
  }

 private:
  void put(std::size_t i, const SlotPair& pair) {
    slots_[i] = std::uint64_t{pair.a} << 32 | pair.b;
    squared_[i] = pair.squared;
  }
  void grow() {
    slots_.resize(2 * slots_.size());
    squared_.resize(slots_.size());
  }

  std::vector<std::uint64_t> slots_;
  std::vector<float> squared_;
  std::size_t top_ = 0;
};

/// Asks for what will be looked at soon: a large tree is not in the processor's caches.
inline void fetch(const SearchTree& tree, std::uint32_t held) {
  constexpr std::size_t line = 64;
  const bool leaf = (held & SearchTree::leaf_bit) != 0;
  const void* const begin = leaf ? static_cast<const void*>(&tree.leaf_points[held & ~SearchTree::leaf_bit])
                                 : static_cast<const void*>(&tree.nodes[held]);
  const std::size_t bytes = leaf ? sizeof(lanes::Points) : sizeof(SearchTree::Node);
  for (std::size_t at = 0; at < bytes; at += line) __builtin_prefetch(static_cast<const char*>(begin) + at);
}

/// A box of one tree placed in the other's frame, kept until another is asked for: many parts are held against one.
class PlacedBox {
 public:
  PlacedBox(const SearchTree& tree, const Pose& pose) : tree_(tree), pose_(pose) {}
  const lanes::OneBox& of(Slot slot) {
    if (slot_ != slot) box_ = placed(box_of(tree_, slot), pose_);
    slot_ = slot;
    return box_;
  }

 private:
  const SearchTree& tree_;
  const Pose& pose_;
  std::optional<Slot> slot_;
  lanes::OneBox box_;
};

/// Shows a query every pair of leaves that may be nearer than its limit, near ones first. The query says
///   squared_limit()                          pairs of boxes at least this far apart don't matter; may shrink
///   gaps_of_a(boxes of a, box of b in a, limit, squared)   bits of the boxes whose squared gap is below the limit
///   gaps_of_b(boxes of b, box of a in b, limit, squared)
///   leaves(number of a's leaf, number of b's)
template <class Query>
class Descent {
 public:
  Descent(const SearchTree& a, const SearchTree& b, const FramePair& frames, Query& query)
      : a_(a), b_(b), query_(query), a_in_b_(a, frames.a_in_b), b_in_a_(b, frames.b_in_a) {}

  void run() {
    while (!stack_.empty()) {
      const SlotPair pair = stack_.pop();
      if (pair.squared >= query_.squared_limit()) continue;
      if (is_leaf(a_, pair.a) && is_leaf(b_, pair.b))
        query_.leaves(a_.held(pair.a) & ~SearchTree::leaf_bit, b_.held(pair.b) & ~SearchTree::leaf_bit);
      else if (opens_a(a_, b_, pair))
        open_a(pair);
      else
        open_b(pair);
    }
  }

 private:
  void open_a(const SlotPair& pair) {
    const std::uint32_t held = a_.held(pair.a);
    const SearchTree::Node& node = a_.nodes[held];
    lanes::FloatRow squared;
    const unsigned near = query_.gaps_of_a(node.boxes, b_in_a_.of(pair.b), limit(), squared) & used_lanes(node);
    stack_.push(near, [&](std::uint32_t lane) {
      fetch(a_, node.held[lane]);
      return SlotPair{held * lanes::count + lane, pair.b, squared[lane]};
    });
  }
  void open_b(const SlotPair& pair) {
    const std::uint32_t held = b_.held(pair.b);
    const SearchTree::Node& node = b_.nodes[held];
    lanes::FloatRow squared;
    const unsigned near = query_.gaps_of_b(node.boxes, a_in_b_.of(pair.a), limit(), squared) & used_lanes(node);
    stack_.push(near, [&](std::uint32_t lane) {
      fetch(b_, node.held[lane]);
      return SlotPair{pair.a, held * lanes::count + lane, squared[lane]};
    });
  }
  float limit() const { return lanes::float_above(query_.squared_limit()); }

  const SearchTree &a_, &b_;
  Query& query_;
  PlacedBox a_in_b_, b_in_a_;
  PairStack stack_;
};

template <class Query>
void descend(const SearchTree& a, const SearchTree& b, const FramePair& frames, Query& query) {
  Descent<Query>(a, b, frames, query).run();
}

}  // namespace cellproof
