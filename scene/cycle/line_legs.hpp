// SPDX-License-Identifier: GPL-3.0-or-later
// The lines of a cycle: whether the arm can run them from given joints, and if not, where and why it stops.
#pragma once

#include <span>
#include <vector>

#include <tl/expected.hpp>

#include "scene/cycle/legs.hpp"

namespace cellproof {

/// How one leg is run.
struct Way {
  Path path;
};

/// Why legs can't be run, for the leg of `failed_leg` (an index into them).
struct NoWay {
  PlanFailure failure;
  std::size_t failed_leg = 0;
};

/// A failure of a leg, its step filled in.
PlanFailure failure_at(const Leg& leg, PlanFailure::Why why);

/// Lines followed one after the other, limits left aside: the ways as far as they go, and what stopped them.
struct FollowedLines {
  std::vector<Way> ways;  ///< by leg with a target, in order
  std::optional<NoWay> stopped;
};
FollowedLines follow_lines(const Scene& scene, std::span<const Leg> legs, Joints from);

/// The same lines with whole turns added to all their joint values (`offset`, rad), if they keep within limits and end
/// where they should.
tl::expected<std::vector<Way>, NoWay> lines_within_limits(const Scene& scene, std::span<const Leg> legs,
                                                          const FollowedLines& lines, const Joints& offset);

/// The lines that follow a joint leg, from given joints: followed, and within limits. Legs without a target are passed
/// over.
tl::expected<std::vector<Way>, NoWay> run_lines(const Scene& scene, std::span<const Leg> legs, const Joints& from);

}  // namespace cellproof
