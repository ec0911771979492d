// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/meant_cuts.hpp"

#include <algorithm>

#include "scene/solids/cut_depth.hpp"

namespace cellproof {

namespace {

constexpr double least_depth_mm = 0.01;  // less is rounding in models, also where `contact_depth` is 0

bool stands_at_seat(const Stretch& stretch) {
  switch (stretch.kind) {
    case StretchKind::grip:
    case StretchKind::release:
    case StretchKind::hold:
    case StretchKind::unhold:
      return true;
    default:
      return false;
  }
}

/// An end of a stretch: when, and the cell then.
using StretchEnd = std::pair<double, Instant>;

StretchEnd end_at(const Scene& scene, const Stretch& stretch, double share) {
  return {time_at(stretch, share), instant_at_share(scene, stretch, share)};
}

/// How deep two bodies cut, found again where the same two stood alike before.
double depth_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double from_mm,
                PairResults& results) {
  const Pose a_in_b = on_lattice(b_in_world.inverse() * a_in_world);
  KeyWriter writer;
  writer.add(a.content());
  writer.add(b.content());
  writer.add(a_in_b);
  writer.add(from_mm);
  const ContentKey key = writer.key();
  if (const auto kept = results.depths.find(key)) return *kept;
  const double depth = cut_depth(a, a_in_b, b, Pose::Identity(), from_mm).depth_mm;
  results.depths.keep(key, depth);
  return depth;
}

/// The deepest cut of a pair, if one is deeper than asked about.
std::optional<MeantCut> deepest(const Scene& scene, const SparedPair& pair, const std::vector<StretchEnd>& ends,
                                PairResults& results) {
  const SceneBody &a = scene.bodies[pair.a], &b = scene.bodies[pair.b];
  MeantCut cut{pair, std::max(scene.cell.rules.contact_depth, least_depth_mm), 0};
  bool found = false;
  for (const auto& [time_s, at] : ends) {
    const double depth = depth_of(*a.solid, at.pose_of(a), *b.solid, at.pose_of(b), cut.depth_mm, results);
    if (!(depth > cut.depth_mm + 1e-6)) continue;
    found = true;
    cut.depth_mm = depth;
    cut.time_s = time_s;
  }
  return found ? std::optional(cut) : std::nullopt;
}

}  // namespace

std::vector<MeantCut> measure_meant_cuts(const Scene& scene, const Stretch& stretch, PairResults& results) {
  const bool at_seat = stands_at_seat(stretch);
  std::vector<SparedPair> pairs = spared_pairs(scene, stretch);
  if (!at_seat)
    pairs.erase(std::remove_if(pairs.begin(), pairs.end(), [](const SparedPair& pair) { return !pair.freed; }),
                pairs.end());
  if (pairs.empty()) return {};
  std::vector<StretchEnd> ends{end_at(scene, stretch, 0)};
  if (!at_seat || !stretch.shifts.empty()) ends.push_back(end_at(scene, stretch, 1));
  std::vector<MeantCut> cuts;
  for (const auto& pair : pairs)
    if (const auto cut = deepest(scene, pair, ends, results)) cuts.push_back(*cut);
  return cuts;
}

}  // namespace cellproof
