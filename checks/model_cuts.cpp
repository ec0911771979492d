// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "checks/checked_pairs.hpp"
#include "checks/model_cautions.hpp"
#include "checks/pair_rules.hpp"
#include "scene/instant.hpp"
#include "scene/solids/cut_depth.hpp"

namespace cellproof {

namespace {

constexpr double least_mm = 5.0;  ///< what is screwed or pressed together is drawn a few mm deep (common practice)
constexpr std::size_t most_triangles = 500'000;  ///< of a pair: more would take seconds, for a caution only

/// Pairs among which a cut is likely a mistake: both drawn elsewhere, neither carried by the other.
bool stand_by_themselves(const Scene& scene, const Arrangement& stated, BodyId i, BodyId j) {
  const SceneBody &a = scene.bodies[i], &b = scene.bodies[j];
  const bool kind = a.kind == b.kind && (a.kind == BodyKind::surroundings || a.kind == BodyKind::end_effector);
  if (!kind || !stated.present[i] || !stated.present[j]) return false;
  if (!mesh_source_of(scene.cell, a.name) || !mesh_source_of(scene.cell, b.name)) return false;
  return !rides_on(stated, a.frame, b.frame) && !rides_on(stated, b.frame, a.frame);
}

Finding cut_caution(const SceneBody& a, const SceneBody& b, const CutDepth& cut) {
  return model_caution(
      {a.name, b.name},
      fmt::format("'{}' and '{}' cut each other {:.1f} mm deep at the start, at ({:.1f}, {:.1f}, {:.1f})", a.name,
                  b.name, cut.depth_mm, cut.point.x(), cut.point.y(), cut.point.z()),
      "look whether both stand where they should; a [[contact]] between them says that it is meant");
}

/// Calls `each` with two bodies and their poses in world.
template <typename Each>
void each_overlapping(const Scene& scene, const Each& each) {
  const Arrangement stated = stated_arrangement(scene);
  const Joints start = scene.cell.cycle ? scene.cell.cycle->start : Joints::Zero();
  const Instant at = instant(scene, stated, start);
  const std::vector<BodyId> order = bodies_in_order(scene);
  for (std::size_t first = 0; first < order.size(); ++first)
    for (std::size_t second = first + 1; second < order.size(); ++second) {
      const BodyId i = order[first], j = order[second];
      if (!stand_by_themselves(scene, stated, i, j)) continue;
      const SceneBody &a = scene.bodies[i], &b = scene.bodies[j];
      const Pose &at_a = at.pose_of(a), &at_b = at.pose_of(b);
      if (box_distance(*a.solid, at_a, *b.solid, at_b) <= 0) each(i, at_a, j, at_b);
    }
}

}  // namespace

std::vector<std::pair<BodyId, BodyId>> overlapping_at_start(const Scene& scene) {
  std::vector<std::pair<BodyId, BodyId>> pairs;
  each_overlapping(scene, [&](BodyId i, const Pose&, BodyId j, const Pose&) { pairs.emplace_back(i, j); });
  return pairs;
}

std::vector<Finding> start_cut_cautions(const Scene& scene) {
  std::vector<Finding> findings;
  each_overlapping(scene, [&](BodyId i, const Pose& at_a, BodyId j, const Pose& at_b) {
    if (!rule_of_pair(scene, i, j).least_mm) return;
    const SceneBody &a = scene.bodies[i], &b = scene.bodies[j];
    if (a.solid->mesh().triangles.size() + b.solid->mesh().triangles.size() > most_triangles) return;
    if (nearest(*a.solid, at_a, *b.solid, at_b, least_mm).distance > 0) return;
    const CutDepth cut = cut_depth(*a.solid, at_a, *b.solid, at_b, std::max(scene.cell.rules.contact_depth, least_mm));
    if (cut.depth_mm > 0) findings.push_back(cut_caution(a, b, cut));
  });
  return findings;
}

}  // namespace cellproof
