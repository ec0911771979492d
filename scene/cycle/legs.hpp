// SPDX-License-Identifier: GPL-3.0-or-later
// The steps of one run spelled out: what the arm is asked to do, what hangs where meanwhile. No joint values yet.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// A pose of a tcp in a frame, or joint values; a tcp leads a line even to joint values.
struct FrameTarget {
  FrameId frame;
  Pose at = Pose::Identity();
  std::optional<Joints> near;
};
struct LegTarget {
  TcpId tcp;  ///< joint values need none
  std::variant<Joints, FrameTarget> to;
};

/// One entry of the report, before the arm has found its way.
struct Leg {
  std::string step;
  StepId step_index;
  StretchKind kind = StretchKind::wait;
  std::shared_ptr<const Arrangement> arrangement;
  PartId held_part;
  TcpId holding_tcp;
  std::optional<double> grasp_turn;
  std::optional<SeatContact> contact;
  std::vector<Shifting> shifts;
  double dwell = 0;                 ///< s, where the arm stands
  std::optional<LegTarget> target;  ///< where the arm goes: joint and linear legs
};

/// What one run is about: which seats the slots stand for, what fills the others, which turn each pick takes.
struct RunSetup {
  std::string name;                       ///< the first slot's seat, empty without slots
  std::vector<std::size_t> seat_of_each;  ///< by cell.cycle->each: index into its seats
  std::optional<std::string> others;      ///< a part, "none", or the default: the part that starts there
  std::vector<double> turn_of_pick;       ///< rad, by pick step in order
};

struct Legs {
  std::vector<Leg> legs;
  std::optional<PlanFailure> failure;  ///< a step that can't begin as things stand; the legs end before it
  Arrangement at_end;
};

/// Asks for cell.cycle.
Legs spell_out(const Scene& scene, const RunSetup& setup);

}  // namespace cellproof
