// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/arm_structure.hpp"

#include <cmath>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {
namespace {

bool vanishes(double x) {
  return std::abs(x) < 1e-9;
}

/// Both joints turn about one line: the arm is singular everywhere, and no closed form holds.
bool coincide(const NormalLink& link) {
  return vanishes(link.a) && vanishes(link.tilt.sine);
}

/// The axes beside links `i` and `i + 1` meet, and turn a body freely about the point.
bool meet(const NormalChain& chain, std::size_t i) {
  const NormalLink &before = chain.links[i], &after = chain.links[i + 1];
  const bool concurrent = vanishes(before.a) && vanishes(after.a) && vanishes(after.d);
  return concurrent && !vanishes(before.tilt.sine) && !vanishes(after.tilt.sine);
}

/// The axes beside links `i` and `i + 1` are parallel, and carry a body about in their plane.
bool run_parallel(const NormalChain& chain, std::size_t i) {
  const NormalLink &before = chain.links[i], &after = chain.links[i + 1];
  const bool parallel = vanishes(before.tilt.sine) && vanishes(after.tilt.sine);
  return parallel && !vanishes(before.a) && !vanishes(after.a);
}

/// Axes 4, 5 and 6 meet, and joints 1 to 3 move that point in space, not just on a curve or a surface.
bool meet_at_hand(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  const bool parallel = vanishes(first.tilt.sine) && vanishes(second.tilt.sine);
  const bool concurrent = vanishes(first.a) && vanishes(second.a) && vanishes(second.d);
  const bool on_axis = vanishes(third.a) && vanishes(third.tilt.sine * fourth.d);
  return meet(chain, 3) && !coincide(first) && !coincide(second) && !parallel && !concurrent && !on_axis;
}

/// Axes 2, 3 and 4 meet.
bool meet_in_the_middle(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  const bool on_axis1 = vanishes(first.a) && vanishes(first.tilt.sine * second.d);
  return meet(chain, 1) && !coincide(fifth) && !on_axis1;
}

/// Axes 2, 3 and 4 are parallel.
bool parallel_in_the_middle(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  return run_parallel(chain, 1) && !vanishes(first.tilt.sine) && !vanishes(fourth.tilt.sine) && !coincide(fifth);
}

/// Axes 1, 2 and 3 are parallel.
bool parallel_at_base(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  return run_parallel(chain, 0) && !vanishes(third.tilt.sine) && !coincide(fourth) && !coincide(fifth);
}

}  // namespace

ArmStructure structure_of(const NormalChain& chain) {
  using enum AxisTriple;
  if (meet_at_hand(chain)) return {meeting, 4};
  if (parallel_in_the_middle(chain)) return {parallel, 2};
  const NormalChain back = reversed(chain);
  if (meet_at_hand(back)) return {meeting, 1};
  if (parallel_in_the_middle(back)) return {parallel, 3};
  if (meet_in_the_middle(chain)) return {meeting, 2};
  if (meet_in_the_middle(back)) return {meeting, 3};
  if (parallel_at_base(chain)) return {parallel, 1};
  if (parallel_at_base(back)) return {parallel, 4};
  return {};
}

std::optional<NormalChain> nearly_structured(const NormalChain& chain) {
  constexpr double nearly = 2e-3;
  for (std::size_t i = 0; i < 4; ++i) {
    NormalChain trial = chain;
    bool meeting = true;
    for (double* length : {&trial.links[i].a, &trial.links[i + 1].a, &trial.links[i + 1].d}) {
      meeting = meeting && std::abs(*length) < nearly;
      *length = 0;
    }
    if (meeting && structure_of(trial).triple != AxisTriple::none) return trial;
  }
  for (std::size_t i = 0; i < 4; ++i) {
    NormalChain trial = chain;
    bool parallel = true;
    for (NormalLink* link : {&trial.links[i], &trial.links[i + 1]}) {
      parallel = parallel && std::abs(link->tilt.sine) < nearly;
      link->alpha = link->tilt.cosine > 0 ? 0 : pi;
      link->tilt = {0, link->tilt.cosine > 0 ? 1.0 : -1.0};
    }
    if (parallel && structure_of(trial).triple != AxisTriple::none) return trial;
  }
  return std::nullopt;
}

ArmStructure arm_structure(const Arm& arm) {
  return structure_of(normal_chain(arm));
}

bool singular_everywhere(const Arm& arm) {
  constexpr double nothing = 1e-9;
  const double length = length_scale(arm);
  if (!(length > 0)) return true;
  // The determinant is analytic in the angles: where it is not zero everywhere it is zero almost nowhere.
  Joints some;
  some << 0.31, 1.27, -2.11, 0.83, 1.71, -0.57;
  for (int i = 0; i < 4; ++i) {
    const Joints values = some * (1 + 0.37 * i);
    const ArmFrames frames = arm_frames(arm, values);
    const Jacobian jacobian = jacobian_at(arm, frames, frames.link_in_base[6].translation());
    if (least_singular_value(jacobian, length) > nothing) return false;
  }
  return true;
}

}  // namespace cellproof
