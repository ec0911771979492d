// SPDX-License-Identifier: GPL-3.0-or-later
// Which joint solutions a pose target has, in the order in which the contract takes them.
#pragma once

#include <span>
#include <vector>

#include <tl/expected.hpp>

#include "scene/cycle/line_legs.hpp"

namespace cellproof {

/// The arm as it stands when a leg begins.
struct Standing {
  const Scene& scene;
  Joints joints;
};

/// A way to stand at a target: `solution` numbers the closed form's solutions, `joints` is one choice of whole turns of
/// it, within limits.
struct Candidate {
  Joints joints;
  std::size_t solution = 0;
};

/// Every candidate of a joint leg, by the shortest joint move from where the arm stands, ties by lowest joint values in
/// order; with `near` by the greatest joint difference from it. Of a continuum also the place within limits that is
/// nearest to `near`, or, where its free joints can't stay as they are, to where the arm stands.
std::vector<Candidate> candidates_for(const Standing& standing, const Leg& leg);

/// For a joint leg without a candidate: what the search for the nearest pose lands on exactly, or why there is none.
tl::expected<Candidate, PlanFailure> last_candidate(const Standing& standing, const Leg& leg);

/// The ways of a joint leg and of the linear legs that follow it, in order (legs without a target are passed over),
/// from the first candidate that all can be run with. `legs` begins with the joint leg.
tl::expected<std::vector<Way>, NoWay> find_ways(const Standing& standing, std::span<const Leg> legs);

/// How many of `legs`, the first included, belong together: a joint leg and what follows up to the next joint leg.
std::size_t legs_together(std::span<const Leg> legs);

}  // namespace cellproof
