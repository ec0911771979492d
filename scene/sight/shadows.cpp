// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/shadows.hpp"

#include <algorithm>
#include <cmath>

#include "scene/solids/search_tree.hpp"

namespace cellproof {
namespace {

/// An affine function of a point that is not negative where it counts.
struct HalfSpace {
  Vector3d normal;
  double offset;
  double at(const Vector3d& point) const { return normal.dot(point) + offset; }
};
/// The four sides of the way to the window, its front and its end.
using Way = std::array<HalfSpace, 6>;

/// Shares of the way nearer to the eye than this are too near to be told from it.
constexpr double least_share = 1e-8;

/// Points of the eye's frame to (u w, v w, w), w the share of the way: homogeneous, so linear.
Eigen::Matrix3d onto_window(const Window& window) {
  Eigen::Matrix3d from;
  from << window.across, window.down, window.centre;
  return from.inverse();
}

Way way_to(const SightThrough& sight, const Eigen::Matrix3d& onto) {
  const Vector3d u = onto.row(0), v = onto.row(1), w = onto.row(2);
  const bool endless = std::isinf(sight.within);
  return {HalfSpace{0.5 * w + u, 0},
          {0.5 * w - u, 0},
          {0.5 * w + v, 0},
          {0.5 * w - v, 0},
          {Vector3d::UnitZ(), -std::max(sight.front, 0.0)},
          {endless ? Vector3d::Zero() : Vector3d(-w), endless ? 1 : sight.within}};
}

HalfSpace seen_from(const HalfSpace& side, const Pose& body_in_eye) {
  return {body_in_eye.linear().transpose() * side.normal, side.at(body_in_eye.translation())};
}

/// A way in a mesh's frame as its search tree has it.
Way in_tree(Way way, const SearchTree& tree) {
  for (HalfSpace& side : way) side.offset = side.at(tree.origin);
  return way;
}

/// True if no point of the box is on the right side of one of them.
bool misses(const lanes::OneBox& box, const Way& way) {
  using Row = Eigen::Map<const Vector3d>;
  return std::ranges::any_of(way, [&](const HalfSpace& side) {
    double most = side.at(Row(box.centre));
    for (int i = 0; i < 3; ++i) most += std::abs(side.normal.dot(Row(box.axes[i]))) * box.half[i];
    return most < 0;
  });
}

/// The numbers of all triangles that may stand in the way, each once.
std::vector<std::uint32_t> triangles_in(const Solid& solid, const Way& way) {
  constexpr std::size_t few = 256;
  const Mesh& mesh = solid.mesh();
  std::vector<std::uint32_t> numbers;
  if (mesh.triangles.size() <= few) {
    for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i) numbers.push_back(i);
    return numbers;
  }
  const SearchTree& tree = solid.tree();
  const Way way_in_tree = in_tree(way, tree);
  std::vector<Slot> open{SearchTree::root};
  while (!open.empty()) {
    const Slot slot = open.back();
    open.pop_back();
    if (misses(box_of(tree, slot), way_in_tree)) continue;
    const std::uint32_t held = tree.held(slot), own = held & ~SearchTree::leaf_bit;
    if (held != own)
      numbers.insert(numbers.end(), tree.leaves[own].number, tree.leaves[own].number + tree.leaves[own].count);
    else
      for (std::uint32_t lane = 0; lane < tree.nodes[own].count; ++lane)
        open.push_back(own * static_cast<Slot>(lanes::count) + lane);
  }
  std::ranges::sort(numbers);  // a large triangle lies in many leaves
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  return numbers;
}

/// A corner with how far it is in front, and its homogeneous place on the window.
struct ClippedCorner {
  Vector3d place;
  double ahead;
};

/// Casts the triangles of one body.
class Caster {
 public:
  Caster(const PlacedSolid& placed, const SightThrough& sight, const Eigen::Matrix3d& onto)
      : placed_(placed),
        place_(onto * placed.in_eye.linear()),
        place_offset_(onto * placed.in_eye.translation()),
        ahead_(seen_from({Vector3d::UnitZ(), -std::max(sight.front, 0.0)}, placed.in_eye)),
        within_(sight.within),
        facing_sign_(onto.determinant() < 0 ? 1 : -1) {
    hides_its_back_ = placed.solid->closed().closed && stands_free();
  }

  void cast(const Triangle& triangle, std::vector<Shadow>& shadows) const {
    std::array<ClippedCorner, 3> corner;
    for (std::size_t i = 0; i < 3; ++i) corner[i] = corner_of(placed_.solid->mesh().vertices[triangle[i]]);
    const auto all = [&](auto out) { return out(corner[0]) && out(corner[1]) && out(corner[2]); };
    for (const int k : {0, 1})
      if (all([&](const ClippedCorner& c) { return c.place[k] < -0.5 * c.place.z(); }) ||
          all([&](const ClippedCorner& c) { return c.place[k] > 0.5 * c.place.z(); }))
        return;
    if (all([&](const ClippedCorner& c) { return c.place.z() >= within_; }) ||
        all([&](const ClippedCorner& c) { return c.ahead < 0; }))
      return;
    if (hides_its_back_ && !faces_the_eye(corner)) return;
    add_part_in_front(corner, shadows);
  }

 private:
  ClippedCorner corner_of(const Vector3d& vertex) const { return {place_ * vertex + place_offset_, ahead_.at(vertex)}; }

  /// True if the whole body is behind the front: where its back blocks, its face does so from nearer.
  bool stands_free() const {
    return std::ranges::all_of(placed_.solid->box().corners(), [&](const Vector3d& vertex) {
      const ClippedCorner corner = corner_of(vertex);
      return corner.ahead > 0 && corner.place.z() > least_share;
    });
  }

  bool faces_the_eye(const std::array<ClippedCorner, 3>& corner) const {
    return facing_sign_ * corner[0].place.dot(corner[1].place.cross(corner[2].place)) > 0;
  }

  /// Cut where it passes the front, and where it comes beside the eye (Sutherland, Hodgman, 1974).
  void add_part_in_front(const std::array<ClippedCorner, 3>& triangle, std::vector<Shadow>& shadows) const {
    std::array<ClippedCorner, 5> now, kept;
    std::ranges::copy(triangle, now.begin());
    std::size_t count = 3;
    for (const auto& inside : {+[](const ClippedCorner& c) { return c.ahead; },
                               +[](const ClippedCorner& c) { return c.place.z() - least_share; }}) {
      std::size_t left = 0;
      for (std::size_t i = 0; i < count; ++i) {
        const ClippedCorner &a = now[i], &b = now[(i + 1) % count];
        const double in_a = inside(a), in_b = inside(b);
        if (in_a >= 0) kept[left++] = a;
        if ((in_a >= 0) == (in_b >= 0)) continue;
        const double share = in_a / (in_a - in_b);
        kept[left++] = {a.place + share * (b.place - a.place), a.ahead + share * (b.ahead - a.ahead)};
      }
      count = left;
      now = kept;
    }
    if (count < 3) return;
    Shadow shadow{placed_.body, count, {}};
    for (std::size_t i = 0; i < count; ++i) {
      const double w = std::max(now[i].place.z(), least_share);
      shadow.corner[i] = {now[i].place.x() / w, now[i].place.y() / w, 1 / w};
    }
    shadows.push_back(shadow);
  }

  const PlacedSolid& placed_;
  Eigen::Matrix3d place_;
  Vector3d place_offset_;
  HalfSpace ahead_;
  double within_;
  double facing_sign_;
  bool hides_its_back_ = false;
};

}  // namespace

bool edge_on(const Window& window) {
  const Vector3d normal = window.across.cross(window.down);
  constexpr double least_slope = 1e-9;
  return !(std::abs(normal.dot(window.centre)) > least_slope * normal.norm() * window.centre.norm());
}

std::vector<Shadow> shadows(std::span<const PlacedSolid> bodies, const SightThrough& sight) {
  std::vector<Shadow> found;
  if (edge_on(sight.window)) return found;
  const Eigen::Matrix3d onto = onto_window(sight.window);
  const Way way = way_to(sight, onto);
  for (const PlacedSolid& placed : bodies) {
    Way way_in_body;
    std::ranges::transform(way, way_in_body.begin(),
                           [&](const HalfSpace& side) { return seen_from(side, placed.in_eye); });
    const Caster caster(placed, sight, onto);
    for (const std::uint32_t number : triangles_in(*placed.solid, way_in_body))
      caster.cast(placed.solid->mesh().triangles[number], found);
  }
  return found;
}

double area_in_window(const Shadow& shadow) {
  std::vector<Vector2d> polygon, kept;
  for (std::size_t i = 0; i < shadow.corners; ++i) polygon.emplace_back(shadow.corner[i].head<2>());
  for (const int axis : {0, 1})
    for (const double sign : {-1.0, 1.0}) {
      kept.clear();
      for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
        const double in_a = 0.5 - sign * a[axis], in_b = 0.5 - sign * b[axis];
        if (in_a >= 0) kept.push_back(a);
        if ((in_a >= 0) != (in_b >= 0)) kept.emplace_back(a + in_a / (in_a - in_b) * (b - a));
      }
      polygon.swap(kept);
    }
  double doubled = 0;
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i) {
    const Vector2d a = polygon[i] - polygon[0], b = polygon[i + 1] - polygon[0];
    doubled += a.x() * b.y() - a.y() * b.x();
  }
  return std::abs(doubled) / 2;
}

}  // namespace cellproof
