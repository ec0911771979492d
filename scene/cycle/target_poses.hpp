// SPDX-License-Identifier: GPL-3.0-or-later
// Where the moves of a cycle end: what is entered at a robot's controller.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

struct TargetPose {
  std::string step;                 ///< "start" for where the run begins
  std::optional<StretchKind> kind;  ///< joint or linear; none for where the run begins
  Joints joints = Joints::Zero();   ///< rad, the controller's
  TcpId tcp;                        ///< that the step leads; none: the flange
  Pose tool_in_base = Pose::Identity();
  std::string configuration;      ///< in plain words; empty where the arm's structure has none
  std::vector<StretchKind> then;  ///< what the arm came for, in order: grip, release, hold, unhold or look
};

/// The start and the end of every move that goes anywhere, in running order. Frames of tools ride on the flange, so
/// that they are the same in the base whatever else stands where.
std::vector<TargetPose> target_poses(const Scene& scene, const CycleRun& run);

}  // namespace cellproof
