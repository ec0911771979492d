// SPDX-License-Identifier: GPL-3.0-or-later
// The timed cycle: every joint, carried part and shifted body known at every instant.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "kinematics/motion/motion.hpp"
#include "scene/instant.hpp"

namespace cellproof {

/// hold and unhold: a fixture closes about a part in the tool's hand, or opens.
enum class StretchKind { joint, linear, grip, release, hold, unhold, look, wait, shift, machine, bring, remove };
std::string_view kind_name(StretchKind kind);

/// A frame that moves on its own during a stretch, straight and by slerp at a constant rate.
struct Shifting {
  FrameId frame;
  Pose from = Pose::Identity(), to = Pose::Identity();
};

/// Meant contact during a stretch, for the pair of bodies or groups that the contract exempts near the seat.
struct SeatContact {
  PartId part;  ///< that is picked or placed
  TcpId tcp;
  BodyId seat_body;                         ///< the body that the seat rides on, if any
  JawId hold_jaw;                           ///< of the hold that takes or lets go here, if it has one
  Vector3d tcp_at_seat = Vector3d::Zero();  ///< in world: where the tcp is with the part in the seat
};

/// One entry of the report's steps: an interval over which what hangs on what is constant.
struct Stretch {
  std::string step;
  StepId step_index;
  StretchKind kind = StretchKind::wait;
  double start_s = 0, end_s = 0;
  std::shared_ptr<const Arrangement> arrangement;
  Motion motion;  ///< goes nowhere where the arm stands
  std::vector<Shifting> shifts;
  PartId held_part;  ///< in the hand during this stretch
  TcpId holding_tcp;
  std::optional<double> grasp_turn;    ///< of a grip: the turn (rad) about the grasp's z that was taken
  std::optional<SeatContact> contact;  ///< in the linear and grip/release stretches of a pick or place
  std::optional<LineTiming> line;      ///< how the joints held a line back
};

/// A step that could not be planned, and why: the cycle ends there.
struct PlanFailure {
  enum class Why { out_of_reach, limits, singularity, wrong_state, no_method };
  Why why = Why::out_of_reach;
  StepId step_index;
  std::string step;
  double time_s = 0;
  std::string message, mend;  ///< what is wrong, with numbers; what to do
  double measured = std::numeric_limits<double>::quiet_NaN();
  double required = std::numeric_limits<double>::quiet_NaN();
  std::string unit;  ///< of both
};

/// A choice of joint solutions or of a grasp's turn that was tried and can't be taken.
struct BlockedChoice {
  std::string choice;        ///< which
  std::string step, reason;  ///< where it fails, and why
  StepId step_index;
};

/// One time through the steps.
struct CycleRun {
  std::string name;    ///< the first slot's seat, empty without `each`
  std::string others;  ///< what fills the other seats, empty if it does not matter
  std::vector<Stretch> stretches;
  std::optional<PlanFailure> failure;
  double duration_s = 0;
  Arrangement at_end;                  ///< after the last step, or before the one that can't begin
  std::vector<BlockedChoice> blocked;  ///< where no choice serves: each that was tried
};

struct Cycle {
  std::vector<CycleRun> runs;
};

/// The pose of a shifting frame in its parent at a share 0 … 1 of the way.
Pose shifted_pose(const Shifting& shifting, double share);

/// How far along its path (0 … 1) a stretch is at a time, and the time at a share of the path.
double share_at(const Stretch& stretch, double time_s);
double time_at(const Stretch& stretch, double share);

/// Joint values (rad) of a stretch at a time within it, on the chain that clearance is certified on.
Joints joints_at(const Stretch& stretch, double time_s);

/// What hangs where at a time within the stretch, or at a share of it: the arrangement with its shifting frames put in
/// place.
Arrangement arrangement_at(const Stretch& stretch, double time_s);
Arrangement arrangement_at_share(const Stretch& stretch, double share);

/// The cell at a time within the stretch, or at a share of it.
Instant instant_at(const Scene& scene, const Stretch& stretch, double time_s);
Instant instant_at_share(const Scene& scene, const Stretch& stretch, double share);

/// The stretch that covers a time (the later one where two meet), the last one at the end.
const Stretch& stretch_at(const CycleRun& run, double time_s);

}  // namespace cellproof
