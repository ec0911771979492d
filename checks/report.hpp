// SPDX-License-Identifier: GPL-3.0-or-later
// What a proof found: plain data, ready to be shown. mm, rad, s inside; converted when written.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "checks/finding.hpp"
#include "scene/clearance/clearance_curve.hpp"
#include "scene/cycle/cycle.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {

/// The least clearance of a stretch, enclosed: lower <= truth <= upper over the whole continuous stretch.
struct ClearanceFigure {
  double lower_mm = 0, upper_mm = 0;
  std::array<std::string, 2> between;
  double time_s = 0;
  std::array<Vector3d, 2> points{};  ///< world, at that time
};

struct StepFigure {
  std::string name, run;
  std::string others;  ///< as a finding's
  StretchKind kind = StretchKind::wait;
  double start_s = 0, end_s = 0;
  Joints joints_end = Joints::Zero();
  std::string configuration;  ///< at the end, in plain words; empty where the arm's structure has none
  double limit_margin = 0;    ///< rad
  double manipulability = 0;
  std::optional<double> grasp_turn;                ///< of a grip, rad
  std::optional<ClearanceFigure> clearance;        ///< of all pairs
  std::optional<ClearanceFigure> to_surroundings;  ///< of arm, end effector and part in hand to all else
  std::optional<ClearanceFigure> among_own;        ///< among these three, steady pairs left out
  std::vector<CurvePoint> clearance_over_time;     ///< empty unless asked for
};

struct ViewFigure {
  std::string run, step;
  std::string others;  ///< as a finding's
  CameraView view;
};

struct BodyFigure {
  std::string name;
  BodyKind kind = BodyKind::surroundings;
  std::size_t triangles = 0;
  bool closed = false;
  std::optional<double> volume_mm3;  ///< of a closed mesh
  double area_mm2 = 0;
  Box box;  ///< in the body's own frame
};

/// The least distance of a pair over the whole cycle, enclosed within 0.1 mm or 2 %: nowhere is it nearer than lower,
/// and in that step, at that time, it comes as near as upper.
struct ClosestFigure {
  std::array<std::string, 2> between;
  std::string run, step;
  std::string others;  ///< as a finding's
  double time_s = 0, lower_mm = 0, upper_mm = 0;
};

/// Two bodies that the arm moves and whose distance hardly changes over the cycle: told once, not step by step.
struct SteadyFigure {
  std::array<std::string, 2> between;
  double lower_mm = 0,
         upper_mm = 0;  ///< no nearer anywhere than the one, found no further at any step's end than the other
  double asked_mm = 0;  ///< its rule
};

/// What of a jaw's pads meets the part on one side: a lower bound of the area.
struct PadFigure {
  std::vector<std::string> bodies;
  double contact_mm2 = 0;
};

/// How a part is held from a grip to its release, at the instant where it is held least.
struct GripFigure {
  struct Zone {
    std::string name;
    double force_n = 0, load_n = 0;  ///< what it pulls with, what it carries of the load
  };
  std::string run, step;
  std::string others;  ///< as a finding's
  std::string part, tcp;
  double force_n = 0;
  std::optional<double> factor, pull, slip, peel;  ///< none: nothing is demanded in that way
  double time_s = 0;
  std::optional<std::string> limited_by;
  bool in_stop = false;  ///< in an emergency stop, not in the planned motion
  std::vector<Zone> zones;
  std::optional<double> moment_in_pads_nm;  ///< of a jaw: turns the part about the line through its pads
  std::vector<PadFigure> pads;              ///< of a jaw whose pads are modelled, at the grip
  std::optional<double> pad_contact_mm2;    ///< of the pad that meets least
};

/// The heaviest load of a step and its greatest moments and inertias; none where a mass is not known.
struct WristFigure {
  struct Axis {
    int axis = 0;
    double moment_nm = 0;
    std::optional<double> inertia_kgm2;
  };
  std::string run, step;
  std::string others;  ///< as a finding's
  double mass_kg = 0, offset_mm = 0;
  std::vector<Axis> axes;
};

/// The greatest torque of a joint over the cycle.
struct TorqueFigure {
  int joint = 0;
  double torque_nm = 0;
  std::string run, step;
  double time_s = 0;
};

/// What a rest of a fixture pushes the part with, in the seat's frame.
struct ReactionFigure {
  Vector2d at_mm = Vector2d::Zero();
  Vector3d force_n = Vector3d::Zero();
};

/// What a cut pushes with, and where that is from.
struct CutFigure {
  std::string from;         ///< "file", "power" or "cutter"
  double side_force_n = 0;  ///< the greatest over a turn, as are lift and thrust
  double lift_force_n = 0, thrust_n = 0;
  std::optional<double> side_force_mean_n, power_w;           ///< of what is computed
  std::optional<double> feed_per_tooth_mm, thickest_chip_mm;  ///< of a cutter
};

struct HoldFigure {
  std::string name, run, step;
  std::string others;  ///< as a finding's
  std::string part;
  double force_n = 0;
  std::optional<double> factor;             ///< that is judged
  std::optional<double> best_factor;        ///< with the best share of the load among more than three rests
  std::string gives_by;                     ///< "slide", "turn", "tip", "lift"; empty where nothing gives
  std::optional<Vector2d> worst_at_mm;      ///< where the cut is held least, in the seat's xy
  std::optional<double> worst_towards_deg;  ///< which way it pushes there, from the seat's x
  std::vector<ReactionFigure> reactions;    ///< at that cut `factor` times
  bool rests_found = false;                 ///< from the meshes
  std::optional<double> slip, tip, lift;    ///< each by itself
  std::optional<CutFigure> cut;
  bool estimated = false;                                                         ///< the cut's forces: within 50 %
  std::optional<double> factor_at_more, slip_at_more, tip_at_more, lift_at_more;  ///< of an estimate: at its upper end
  std::vector<PadFigure> pads;            ///< of a jaw whose fingers are modelled: where they meet least
  std::optional<double> pad_contact_mm2;  ///< of the pad that meets least
};

/// What a supply of vacuum reaches, how fast, and how long it keeps what hangs on it.
struct SupplyFigure {
  struct Place {
    std::string run, others, step;
    double time_s = 0;
  };
  std::string name;
  std::vector<std::string> zones;
  double reached_kpa = 0, counted_kpa = 0;        ///< below ambient; what the checks count on
  std::optional<double> evacuation_s, timeout_s;  ///< none: not computed, or it never comes
  std::optional<double> held_after_loss_s;        ///< none: not computed, or for ever
  std::optional<double> weakest_factor;           ///< of the grip that is held so long
  std::optional<Place> weakest;                   ///< where it holds least
  std::optional<double> needed_to_lay_down_s;
  std::optional<Place> furthest;     ///< the instant at which that takes longest
  std::optional<double> air_litres;  ///< free air a cycle
};

/// What holds a part once it lies by itself: at the start, let go, brought, or as the machine leaves it.
struct ReleaseFigure {
  std::string run, step;  ///< step: empty at the start
  std::string others;     ///< as a finding's
  double time_s = 0;
  std::string part, seat;
  std::string held_by;                     ///< "hold", "contact", "friction", "drop", "nothing", or "unknown"
  std::string hold;                        ///< that has taken it
  std::vector<std::string> rests_on;       ///< bodies
  std::optional<double> centre_inside_mm;  ///< its centre of mass from the edge of what carries it; below 0: past it
  std::optional<double> friction;          ///< that it needs, where pressing alone does not do it
  bool friction_assumed = false;
  std::optional<double> air_mm;  ///< straight down to the next body, where it touches none
};

/// Copied and taken apart in report.cpp alone, as a cell is.
struct Report {
  Report();
  Report(const Report&);
  Report(Report&&) noexcept;
  Report& operator=(const Report&);
  Report& operator=(Report&&) noexcept;
  ~Report();

  std::string cell;
  bool pass = false;
  double cycle_time_s = 0, check_time_s = 0;
  std::vector<std::string> cautions, not_computed;
  std::vector<BodyFigure> bodies;
  std::vector<StepFigure> steps;
  std::vector<ViewFigure> views;
  std::vector<GripFigure> grips;
  std::vector<WristFigure> wrist;
  std::vector<TorqueFigure> torques;  ///< of every joint, where all links have a mass
  std::vector<HoldFigure> holds;
  std::vector<ReleaseFigure> releases;
  std::vector<SupplyFigure> supplies;
  std::vector<std::string> controller;  ///< what the controller must do where nothing is confirmed
  std::vector<ClosestFigure> closest;   ///< at most ten pairs, the closest first
  std::vector<SteadyFigure> steady;     ///< the nearest first
  std::vector<Finding> findings;        ///< worst first
};

}  // namespace cellproof
