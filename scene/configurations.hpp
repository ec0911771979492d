// SPDX-License-Identifier: GPL-3.0-or-later
// Which joint solution a pose target takes, and whether the lines that follow can be run from it.
#pragma once

#include <span>
#include <vector>

#include <tl/expected.hpp>

#include "scene/cycle.hpp"
#include "scene/legs.hpp"

namespace cellproof {

/// How one leg is run.
struct Way {
  Path path;
};

/// The arm as it stands when a leg begins.
struct Standing {
  const Scene& scene;
  Joints joints;
};

/// The ways of a joint leg and of the linear legs that follow it, in order (legs without a target are passed over).
/// `legs` begins with the joint leg. Error: why no solution serves, for the leg of `failed_leg` (an index into `legs`).
struct NoWay {
  PlanFailure failure;
  std::size_t failed_leg = 0;
};
tl::expected<std::vector<Way>, NoWay> find_ways(const Standing& standing, std::span<const Leg> legs);

/// How many of `legs`, the first included, belong together: a joint leg and what follows up to the next joint leg.
std::size_t legs_together(std::span<const Leg> legs);

}  // namespace cellproof
