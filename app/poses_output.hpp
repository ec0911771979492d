// SPDX-License-Identifier: GPL-3.0-or-later
// The poses of a proven cycle as text and CSV.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"
#include "scene/cycle/target_poses.hpp"

namespace cellproof {

struct RunPoses {
  std::string run;           ///< empty without `each`
  std::string others;        ///< what fills the other seats; empty unless the cell names several fillings
  std::string stops_before;  ///< the step that can't be run; empty if all can
  std::vector<TargetPose> poses;
};

/// Of every run; one that moves as an earlier run of its name does is left out.
std::vector<RunPoses> run_poses(const Proof& proof);

/// For the terminal: the tools on the flange, then a line a pose; of later runs what differs from the first.
std::string poses_text(const Proof& proof, const std::vector<RunPoses>& runs);

/// A line a tool and a line a pose of every run; mm and degrees.
std::string poses_csv(const Proof& proof, const std::vector<RunPoses>& runs);

}  // namespace cellproof
