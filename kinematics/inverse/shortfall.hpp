// SPDX-License-Identifier: GPL-3.0-or-later
// Why an arm can't take a pose: the nearest it can take, how far that falls short, and what stops it.
#pragma once

#include <limits>
#include <string>

#include "kinematics/arm.hpp"

namespace cellproof {

struct ReachRequest {
  Pose tool_in_flange = Pose::Identity();
  Pose tool_in_base = Pose::Identity();  ///< where the tool is asked to be
};

/// The nearest pose: its position first, then its turn.
struct NearestPose {
  Joints values = Joints::Constant(std::numeric_limits<double>::quiet_NaN());
  Pose tool_in_base = Pose::Identity();
  double position_mm = std::numeric_limits<double>::quiet_NaN();  ///< from what was asked
  double angle = std::numeric_limits<double>::quiet_NaN();        ///< rad
};

/// Where the tool is at joint values (rad), and by how much that falls short.
NearestPose stand_at(const Arm& arm, const ReachRequest& request, const Joints& values);

enum class WithinLimits { yes, no };

/// Found from many starts, always the same ones: near the best there is, without a proof that nothing is nearer.
NearestPose nearest_pose(const Arm& arm, const ReachRequest& request, WithinLimits within);

enum class ReachStop {
  nothing,        ///< the pose can be taken: `nearest` does, exactly and within the limits
  outside_reach,  ///< further out than the arm gets, limits or not
  dead_zone,      ///< nearer to the arm than it can fold
  turn,           ///< the point can be reached, but not with this turn
  limit           ///< every joint solution is outside the limits
};

struct Shortfall {
  ReachStop stop = ReachStop::nothing;
  NearestPose nearest;                                           ///< within the limits
  int joint = 0;                                                 ///< 1 to 6: whose limit it is; 0: none, or a sum's
  double over_limit = std::numeric_limits<double>::quiet_NaN();  ///< rad, in the solution that asks for least
};

Shortfall shortfall(const Arm& arm, const ReachRequest& request);

/// One clause, as "joint 3 would have to go 12.30 deg past its limit; the nearest pose within the limits is …".
std::string described(const Shortfall& shortfall);

}  // namespace cellproof
