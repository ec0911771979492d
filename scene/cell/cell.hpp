// SPDX-License-Identifier: GPL-3.0-or-later
// A cell as its file states it: plain data, checked, never changed. mm, rad, kg, N, Pa, s (see units.hpp).
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "kinematics/arm.hpp"
#include "kinematics/motion/motion.hpp"
#include "scene/basics/id.hpp"
#include "scene/basics/units.hpp"
#include "scene/cell/vacuum_flow.hpp"

namespace cellproof {

/// Where in the file something was said, for messages that come later.
struct Origin {
  int line = 0;
  std::string key;
};

/// A pose in a named frame.
struct Placed {
  std::string on = "world";
  Pose at = Pose::Identity();
};

struct AxisPayload {
  int axis = 6;                           ///< 4, 5 or 6
  std::optional<double> moment, inertia;  ///< N m, kg m^2
};
struct Payload {
  std::optional<double> mass;
  std::vector<AxisPayload> axes;
  std::vector<std::array<double, 2>> offsets;  ///< distance from the flange (mm), mass allowed (kg)
};

struct ArmEntry {
  Arm arm;
  Placed base;
  std::optional<Payload> payload;
  std::array<std::optional<double>, 6> stop_times;  ///< s: how long each joint takes to stand from its full speed
  Origin origin;
};

struct MeshSource {
  std::filesystem::path file;     ///< relative to the cell file's folder, as written
  std::optional<double> unit_mm;  ///< mesh_unit in mm; required where the format carries none
  std::string unit_name;
  std::optional<double> simplify_mm;  ///< how far the mesh may stray from the file's when it is thinned
  double deviation_mm = 0.05;         ///< of a STEP file's triangles from its surfaces
  std::string solid;                  ///< of a STEP file; "": all that is in it
};
struct BoxShape {
  Vector3d size;
};
struct CylinderShape {
  double radius, height;
};
struct SphereShape {
  double radius;
};
using Shape = std::variant<MeshSource, BoxShape, CylinderShape, SphereShape>;

struct Body {
  std::string name;
  Placed placed;
  Shape shape;
  std::optional<double> mass, density;
  std::optional<Vector3d> com;
  bool size_checked = false;  ///< somebody has looked at it: it is as small as it seems
  Origin origin;
};
using BodyEntryId = Id<Body>;

struct Grid {
  int columns = 1, rows = 1;
  std::array<double, 2> pitch{};
};
struct Seat {
  std::string name;
  Placed placed;
  std::optional<Grid> grid;
  Origin origin;
};

struct Grasp {
  std::string name;
  Pose at = Pose::Identity();         ///< in the part
  std::vector<double> turns = {0.0};  ///< about its z, rad
  bool any_turn = false;
};
using GraspId = Id<Grasp>;
struct Part {
  std::string name;
  Shape shape;
  std::optional<double> mass, density;
  std::optional<Vector3d> com;
  bool size_checked = false;   ///< as a body's
  std::string seat;            ///< "" if it is brought in later; may be a slot: "@slot"
  Pose at = Pose::Identity();  ///< in that seat
  Table<GraspId, Grasp> grasps;
  Origin origin;
};
using PartId = Id<Part>;

struct Tcp {
  std::string name;
  Placed placed{"flange", Pose::Identity()};
  std::vector<std::string> suction;
  std::string jaw;
  std::optional<std::vector<std::string>> touch;  ///< empty optional: all end-effector bodies
  double grip_time = 0, release_time = 0;
  Origin origin;
};
using TcpId = Id<Tcp>;

using Outline = std::vector<Vector2d>;
struct Suction {
  std::string name;
  Placed placed;
  std::optional<double> circle;
  Outline outline;
  std::vector<Outline> holes;
  std::string supply;                  ///< whose vacuum it has; "": its own
  double vacuum = 0;                   ///< Pa below ambient; of a supply: what the checks count on (supply.hpp)
  double friction = 0.1;               ///< left out in the file: this, with a caution
  std::optional<double> volume, flow;  ///< mm^3, mm^3/s; both or neither
  Origin origin;
};
using SuctionId = Id<Suction>;

/// A source of vacuum for the zones that name it.
struct Supply {
  std::string name;
  std::vector<FlowPoint> flow;      ///< two at least, vacuum rising, flow falling
  std::optional<double> volume;     ///< mm^3, beside that of hose and zones
  std::optional<Hose> hose;         ///< from the source to the zones
  double leak = 0;                  ///< mm^3/s of free air, counted constant
  bool check_valve = false;         ///< at the source: what is drawn down stays so while it draws no more
  std::optional<double> switch_at;  ///< Pa below ambient, at which the controller goes on
  Origin origin;
};
using SupplyId = Id<Supply>;

struct Finger {
  std::string body;
  Vector3d open = Vector3d::Zero();  ///< offset in the jaw's frame while it holds nothing
  std::optional<double> stroke;      ///< closes so far from there, against `open`, until it meets the part; none: to
                                     ///< where it is drawn
};
using FingerId = Id<Finger>;
struct Jaw {
  std::string name;
  Placed placed;
  double force = 0;
  int pads = 2;
  double friction = 0.1;  ///< left out in the file: this, with a caution
  Table<FingerId, Finger> fingers;
  std::optional<double> pad_area;  ///< mm^2: the least contact that a pad must have
  std::optional<Vector2d> pad;     ///< mm: a pad's size along y and z, of two pads
  Origin origin;
};
using JawId = Id<Jaw>;

struct Focus {
  double distance, f_number, circle;
};
struct Camera {
  std::string name;
  Placed placed;
  int width = 0, height = 0;
  double fx = 0, fy = 0, cx = 0, cy = 0;  ///< pixels
  std::array<double, 5> distortion{};     ///< k1 k2 p1 p2 k3
  double near_mm = 0, far_mm = 0;
  double lens_radius = 0, front = 0;
  std::vector<std::string> housing;
  std::optional<double> focal_length;
  std::optional<Focus> focus;
  Origin origin;
};
using CameraId = Id<Camera>;

struct Target {
  std::string name;
  Placed placed;
  std::array<double, 2> size{};
  Origin origin;
};
using TargetId = Id<Target>;

struct Zone {
  std::string name;
  Placed placed;
  Vector3d box = Vector3d::Zero();
  Origin origin;
};
using ZoneId = Id<Zone>;

struct Clamp {
  Vector2d at;
  double force;
};
/// A mill at work.
struct Cutter {
  double diameter = 0;  ///< mm
  int teeth = 0;
  double helix = 0;              ///< rad; a positive one lifts the part
  double spindle = 0, feed = 0;  ///< rad/s, mm/s
  double depth = 0, width = 0;   ///< mm: along the axis and across the feed
  bool centred = false;          ///< the width lies in the middle of the cutter, else at one side
  double kc11 = 0, mc = 0;       ///< N/mm^2 at a chip of 1 mm, and how it falls with the chip's thickness
  double radial = 0;             ///< force of a tooth along the radius, over that along its path
};
/// Its side force as given, from power, from the cutter, or none.
struct Cut {
  std::optional<double> side_force, power, cutting_speed, peak;  ///< N, W, mm/s, 1
  std::optional<Cutter> cutter;                                  ///< tells lift and thrust too
  double lift_force = 0, thrust = 0, height = 0;                 ///< N, N, mm
  std::vector<Vector2d> over;  ///< where it acts, in the seat's xy; empty: where the part is changed
};
struct Hold {
  std::string name, part, seat;
  std::vector<std::string> suction;
  std::vector<Clamp> clamps;
  std::string jaw;
  double friction = 0.1;  ///< left out in the file: this, with a caution
  std::vector<Vector2d> rests;
  std::optional<Cut> cut;
  double hold_time = 0;  ///< s, from the part's arrival until it is clasped
  Origin origin;
};
using HoldId = Id<Hold>;

/// Where a move goes: joint values, or a pose of a tcp in a frame.
struct JointTarget {
  Joints values;
  std::string tcp;
};  ///< tcp only for a linear move
struct PoseTarget {
  std::string tcp, frame = "world";
  Pose at = Pose::Identity();
  std::optional<Joints> near;
};
using MoveTarget = std::variant<JointTarget, PoseTarget>;

struct MoveStep {
  bool linear = false;
  MoveTarget to;
};
struct PickStep {
  std::string part, tcp, grasp;
  std::vector<Vector3d> approach, retreat;  ///< offsets in the seat's frame, in running order
  std::string unhold;
};
struct PlaceStep {
  std::string part, tcp, seat;  ///< tcp "" : the one that holds the part
  Pose at = Pose::Identity();
  std::vector<Vector3d> approach, retreat;
  std::string hold;
  double confirm = 0;
  std::optional<double> drop;  ///< mm: let go on purpose in mid-air, no higher than this above what is below
};
struct LookStep {
  std::string camera;
  std::optional<MoveTarget> to;
  std::vector<std::string> targets;
};
struct WaitStep {
  double time = 0;
};
struct ShiftStep {
  std::vector<std::string> bodies;
  std::vector<Pose> to;
  double time = 0;
  std::string clear;
};
struct MachineStep {
  std::string part, into;
  double time = 0;
  std::string clear;
};
struct BringStep {
  std::string part, seat;
  Pose at = Pose::Identity();
};
struct RemoveStep {
  std::string part;
};
using Action =
    std::variant<MoveStep, PickStep, PlaceStep, LookStep, WaitStep, ShiftStep, MachineStep, BringStep, RemoveStep>;

struct Step {
  std::string name;
  Action action;
  SpeedSettings speeds;  ///< the cycle's with the step's own overrides
  Origin origin;
};
using StepId = Id<Step>;

/// `each`: a slot and the seats it stands for, in order: expanded grid seats ("rack 1" …) or the list as written.
struct Each {
  std::string slot;
  std::vector<std::string> seats;
};
struct CycleEntry {
  Joints start = Joints::Zero();
  std::vector<Each> each;  ///< all of equal count
  std::optional<std::vector<std::string>> others;
  bool same_configuration = false;  ///< every step has the arm stand in the same way at all seats
  SpeedSettings speeds;
  Table<StepId, Step> steps;
  Origin origin;
};

struct NamedContact {
  std::array<std::string, 2> between;
  Origin origin;
};
/// What a holder and a part rub with, in place of the holder's own friction.
struct PairFriction {
  std::string holder, part;  ///< a suction zone, jaw, tcp or hold
  double value = 0;
  Origin origin;
};
struct NamedClearance {
  std::array<std::string, 2> between;
  double least = 0;
  Origin origin;
};
struct Rules {
  double clearance = 5, seat_zone = 10, contact_depth = 0.5, limit_margin = 0, singular = 0.02, visible = 0.98;
  double grip_factor = 2, hold_factor = 2;
  std::optional<double> stop;  ///< mm/s^2
  double altitude = 0;         ///< mm, geometric
  std::vector<NamedContact> contacts;
  std::vector<NamedClearance> clearances;
};

struct Range {
  double from = 0, to = 0, step = 0;
};
struct Survey {
  std::string name, move;
  std::optional<Range> x, y, z, yaw;
  std::string with;           ///< another survey, whose placements are crossed with these; empty: none
  std::optional<int> budget;  ///< placements to be proved at most
  Origin origin;
};

/// Copied and taken apart in cell.cpp alone: done anew by every file that holds a cell, that was a third of the build.
struct Cell {
  Cell();
  Cell(const Cell&);
  Cell(Cell&&) noexcept;
  Cell& operator=(const Cell&);
  Cell& operator=(Cell&&) noexcept;
  ~Cell();

  std::filesystem::path file;  ///< as the user named it
  std::string name;
  DefaultUnits units;  ///< what bare numbers in the file meant: none here are in them
  ArmEntry arm;
  Table<BodyEntryId, Body> bodies;
  std::vector<Seat> seats;  ///< as written; a grid is one entry
  Table<PartId, Part> parts;
  Table<TcpId, Tcp> tcps;
  Table<SuctionId, Suction> suctions;
  Table<SupplyId, Supply> supplies;
  Table<JawId, Jaw> jaws;
  Table<CameraId, Camera> cameras;
  Table<TargetId, Target> targets;
  Table<ZoneId, Zone> zones;
  Table<HoldId, Hold> holds;
  std::vector<PairFriction> frictions;
  std::vector<Survey> surveys;
  Rules rules;
  std::optional<CycleEntry> cycle;
  std::vector<std::string> cautions;  ///< what the reader noticed and could live with
};

}  // namespace cellproof
