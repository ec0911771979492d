// SPDX-License-Identifier: GPL-3.0-or-later
// Candidates made into solutions: polished, verified by forward kinematics, each once.
#pragma once

#include <optional>
#include <span>

#include "kinematics/inverse/arm_structure.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {

class SolutionList {
 public:
  /// `length`: the arm's length scale (mm).
  SolutionList(const Arm& arm, const ArmStructure& structure, double length, const Pose& flange_in_base);

  /// Takes whole DH angles that may put the flange where it should be.
  void add(std::span<const Joints> whole_dh_angles);

  bool empty() const { return solutions_.all.empty(); }
  /// A candidate came near the pose (to 1e-2 rad, or that share of the arm's length) and no solution was found from it.
  bool nearly() const { return nearly_; }
  const TurnLattice& lattice() const { return lattice_; }

  /// All in order, with the continua found.
  Solutions take();

 private:
  struct Verified;
  std::array<Verified, 4> verified(const std::array<Joints, 4>& values) const;
  Verified verified(const Joints& values) const;
  Verified polished(const Verified& candidate) const;
  std::optional<Joints> settled_with_care(const Solution& near) const;
  double scaled_error(const Solution& solution) const;
  bool exact(const Solution& solution) const;
  bool meet_midway(Solution& known, const Solution& other) const;
  void join_halves_of_double_roots();
  bool is_double_root(const Verified& candidate) const;
  void add(const Verified& candidate);
  void add_once(const Solution& solution);

  const Arm& arm_;
  ArmStructure structure_;
  double length_, clear_of_double_;
  const Pose& flange_in_base_;
  TurnLattice lattice_;
  Solutions solutions_;
  bool nearly_ = false;
};

}  // namespace cellproof
