// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/search_tree.hpp"

#include <algorithm>

#include <Eigen/Eigenvalues>

#include "scene/mesh/nearby_origin.hpp"
#include "scene/solids/large_triangles.hpp"
#include "scene/solids/tree_parts.hpp"

namespace cellproof {

namespace {

/// Sums over a piece of surface, weighted by area, about a fixed point.
struct Moments {
  double area = 0;
  Vector3d first = Vector3d::Zero();
  Eigen::Matrix3d second = Eigen::Matrix3d::Zero();
  void add(const Moments& other) {
    area += other.area;
    first += other.first;
    second += other.second;
  }
};

Vector3d corner(const lanes::Triangles& triangles, std::size_t which, std::size_t lane) {
  return {triangles.corner[which][0][lane], triangles.corner[which][1][lane], triangles.corner[which][2][lane]};
}

void put(lanes::Row (&rows)[3], std::size_t lane, const Vector3d& v) {
  for (int k = 0; k < 3; ++k) rows[k][lane] = v[k];
}

void put(lanes::FloatRow (&rows)[3], std::size_t lane, const Vector3d& v) {
  for (int k = 0; k < 3; ++k) rows[k][lane] = static_cast<float>(v[k]);
}

Moments moments_of(const SearchTree::Leaf& leaf, const Vector3d& about) {
  Moments sum;
  for (std::size_t i = 0; i < leaf.count; ++i) {
    const Vector3d a = corner(leaf.triangles, 0, i) - about, b = corner(leaf.triangles, 1, i) - about,
                   c = corner(leaf.triangles, 2, i) - about, s = a + b + c;
    const double area = (b - a).cross(c - a).norm();
    sum.area += area;
    sum.first += area / 3 * s;
    sum.second += area / 12 * (s * s.transpose() + a * a.transpose() + b * b.transpose() + c * c.transpose()).eval();
  }
  return sum;
}

/// Square unit axes along which the surface is spread most and least; the identity if that can't be told.
Eigen::Matrix3d principal_axes(const Moments& sum) {
  const Eigen::Matrix3d spread = sum.second / sum.area - sum.first * sum.first.transpose() / (sum.area * sum.area);
  if (!(sum.area > 0) || !spread.allFinite()) return Eigen::Matrix3d::Identity();
  Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver;
  solver.computeDirect(spread);
  Eigen::Matrix3d axes;  // the solver's are square to within its rounding only
  axes.col(0) = solver.eigenvectors().col(0).normalized();
  const Vector3d second = solver.eigenvectors().col(2);
  axes.col(1) = (second - second.dot(axes.col(0)) * axes.col(0)).normalized();
  axes.col(2) = axes.col(0).cross(axes.col(1));
  const bool square = axes.allFinite() && (axes.transpose() * axes - Eigen::Matrix3d::Identity()).norm() < 1e-13;
  return square ? axes : Eigen::Matrix3d(Eigen::Matrix3d::Identity());
}

struct TurnedBox {
  Eigen::Matrix3d axes;
  Box along;  ///< of the coordinates on the axes
  double half_area() const {
    const Vector3d size = along.high - along.low;
    return size.x() * size.y() + size.y() * size.z() + size.z() * size.x();
  }
};

/// Around the first triangles of a run of leaves.
TurnedBox box_around(const SearchTree::Leaf* begin, const SearchTree::Leaf* end, const Eigen::Matrix3d& axes) {
  TurnedBox box{axes, {}};
  for (; begin != end; ++begin)
    for (std::size_t which = 0; which < 3; ++which)
      for (int k = 0; k < 3; ++k) {
        const double x = axes(0, k), y = axes(1, k), z = axes(2, k);
        const auto& [px, py, pz] = begin->triangles.corner[which];
        double low = box.along.low[k], high = box.along.high[k];
        for (int lane = 0; lane < lanes::count; ++lane) {
          const double at = x * px[lane] + y * py[lane] + z * pz[lane];
          low = std::min(low, at);
          high = std::max(high, at);
        }
        box.along.low[k] = low;
        box.along.high[k] = high;
      }
  return box;
}

TurnedBox smaller_box(const SearchTree::Leaf* begin, const SearchTree::Leaf* end, const Moments& sum) {
  const TurnedBox turned = box_around(begin, end, principal_axes(sum));
  const TurnedBox straight = box_around(begin, end, Eigen::Matrix3d::Identity());
  return turned.half_area() < straight.half_area() ? turned : straight;
}

/// Half extents grow by more than what the middle and the axes lose by rounding to floats.
void put(lanes::Boxes& boxes, std::size_t lane, const TurnedBox& box) {
  const Vector3d centre = box.axes * (box.along.low + box.along.high) / 2, half = (box.along.high - box.along.low) / 2;
  put(boxes.centre, lane, centre);
  put(boxes.half, lane, half + Vector3d::Constant(4e-7 * (centre.lpNorm<1>() + half.sum())));
  for (int axis = 0; axis < 3; ++axis) put(boxes.axes[axis], lane, box.axes.col(axis));
}

/// The corners of a box along the axes around a leaf.
std::vector<Vector3d> box_corners(const SearchTree::Leaf& leaf) {
  const TurnedBox box = box_around(&leaf, &leaf + 1, Eigen::Matrix3d::Identity());
  const auto corners = box.along.corners();
  return {corners.begin(), corners.end()};
}

lanes::Points points_of(const SearchTree::Leaf& leaf) {
  std::vector<Vector3d> points;
  points.reserve(3 * lanes::count);
  for (std::size_t lane = 0; lane < leaf.count; ++lane)
    for (std::size_t which = 0; which < 3; ++which) {
      const Vector3d point = corner(leaf.triangles, which, lane);
      if (std::find(points.begin(), points.end(), point) == points.end()) points.push_back(point);
    }
  if (points.size() > lanes::Points::most) points = box_corners(leaf);
  lanes::Points result;
  for (std::size_t i = 0; i < lanes::Points::most; ++i) {
    const Eigen::Vector3f point = points[i < points.size() ? i : 0].cast<float>();
    result.x[i] = point.x();
    result.y[i] = point.y();
    result.z[i] = point.z();
  }
  return result;
}

class Builder {
 public:
  /// `number_of` gives each triangle's number in the answer's mesh; empty: they are their own.
  Builder(const Mesh& mesh, const std::vector<std::uint32_t>& number_of)
      : mesh_(mesh), number_of_(number_of), items_(tree_items(mesh)), about_(mesh.vertices.front()) {
    const std::size_t leaves = items_.size() / 6 + 1;
    tree_.leaves.reserve(leaves);
    tree_.leaf_points.reserve(leaves);
    tree_.nodes.reserve(leaves / 6 + 2);
  }

  SearchTree build() {
    tree_.nodes.emplace_back();
    fill_lane(0, 0, {0, static_cast<std::uint32_t>(items_.size())});
    for (const Vector3d& vertex : mesh_.vertices) tree_.extent = std::max(tree_.extent, vertex.lpNorm<1>());
    return std::move(tree_);
  }

 private:
  Moments fill_lane(std::uint32_t node, std::uint32_t lane, ItemRange range) {
    const std::size_t first_leaf = tree_.leaves.size();
    std::uint32_t held = 0;
    const Moments sum = fits_a_leaf(items_, range) ? add_leaf(range, held) : add_node(range, held);
    const SearchTree::Leaf* leaves = tree_.leaves.data();
    SearchTree::Node& parent = tree_.nodes[node];
    put(parent.boxes, lane, smaller_box(leaves + first_leaf, leaves + tree_.leaves.size(), sum));
    parent.held[lane] = held;
    parent.count = std::max(parent.count, lane + 1);
    return sum;
  }

  Moments add_node(ItemRange range, std::uint32_t& held) {
    held = static_cast<std::uint32_t>(tree_.nodes.size());
    tree_.nodes.emplace_back();
    Moments sum;
    std::uint32_t lane = 0;
    for (const ItemRange part_range : part(items_, range)) sum.add(fill_lane(held, lane++, part_range));
    return sum;
  }

  Moments add_leaf(ItemRange range, std::uint32_t& held) {
    held = static_cast<std::uint32_t>(tree_.leaves.size()) | SearchTree::leaf_bit;
    SearchTree::Leaf& leaf = tree_.leaves.emplace_back();
    leaf.count = range.size();
    for (std::uint32_t lane = 0; lane < lanes::count; ++lane) {
      const std::uint32_t own = items_[range.begin + (lane < leaf.count ? lane : 0)].number;
      leaf.number[lane] = number_of_.empty() ? own : number_of_[own];
      const Triangle& triangle = mesh_.triangles[own];
      for (std::size_t k = 0; k < 3; ++k) put(leaf.triangles.corner[k], lane, mesh_.vertices[triangle[k]]);
    }
    tree_.leaf_points.push_back(points_of(leaf));
    return moments_of(leaf, about_);
  }

  const Mesh& mesh_;
  const std::vector<std::uint32_t>& number_of_;
  std::vector<TreeItem> items_;
  Vector3d about_;
  SearchTree tree_;
};

SearchTree built(const Mesh& mesh) {
  if (const auto cut = cut_large_triangles(mesh)) return Builder(cut->pieces, cut->triangle_of_piece).build();
  return Builder(mesh, {}).build();
}

}  // namespace

SearchTree build_search_tree(const Mesh& mesh) {
  const Vector3d origin = nearby_origin(box_of(mesh));
  if (origin.isZero(0)) return built(mesh);
  Mesh near;
  near.triangles = mesh.triangles;
  near.vertices.reserve(mesh.vertices.size());
  for (const Vector3d& vertex : mesh.vertices) near.vertices.emplace_back(vertex - origin);
  SearchTree tree = built(near);
  tree.origin = origin;
  return tree;
}

lanes::OneBox box_of(const SearchTree& tree, Slot slot) {
  const lanes::Boxes& boxes = tree.nodes[slot / lanes::count].boxes;
  const std::size_t lane = slot % lanes::count;
  lanes::OneBox box;
  for (std::size_t k = 0; k < 3; ++k) {
    box.centre[k] = boxes.centre[k][lane];
    box.half[k] = boxes.half[k][lane];
    for (std::size_t axis = 0; axis < 3; ++axis) box.axes[axis][k] = boxes.axes[axis][k][lane];
  }
  return box;
}

lanes::OneTriangle triangle_of(const SearchTree::Leaf& leaf, std::uint32_t lane) {
  lanes::OneTriangle triangle;
  for (std::size_t which = 0; which < 3; ++which)
    for (std::size_t k = 0; k < 3; ++k) triangle.corner[which][k] = leaf.triangles.corner[which][k][lane];
  return triangle;
}

std::size_t bytes_of(const SearchTree& tree) {
  return tree.nodes.capacity() * sizeof(SearchTree::Node) + tree.leaves.capacity() * sizeof(SearchTree::Leaf) +
         tree.leaf_points.capacity() * sizeof(lanes::Points);
}

}  // namespace cellproof
