// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/legs.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/named_entry.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/cycle/grasp_turns.hpp"

namespace cellproof {

namespace {

/// A tool's fingers drawn apart: the pose of each finger's frame while its jaw holds nothing.
struct OpenFinger {
  FrameId frame;
  Pose open = Pose::Identity(), closed = Pose::Identity();
};

/// Walks the steps and writes a leg for each thing that happens.
class Speller {
 public:
  Speller(const Scene& scene, const RunSetup& setup) : scene_(scene), cell_(scene.cell), setup_(setup) {
    now_ = starting_arrangement();
    for (const TcpId tcp : ids_of(cell_.tcps)) move_fingers_at_once(tcp, true);
  }

  Legs run() {
    const auto& steps = cell_.cycle->steps;
    for (const StepId step : ids_of(steps)) {
      if (out_.failure) break;
      step_ = step;
      std::visit([this](const auto& action) { spell(action); }, cell_[step].action);
    }
    out_.at_end = now_;
    return std::move(out_);
  }

 private:
  // ---- what is where ----

  Arrangement starting_arrangement() const {
    Arrangement start = stated_arrangement(scene_);
    const auto& each = cell_.cycle->each;
    for (std::size_t e = 0; e < each.size(); ++e) {
      const std::string& mine = each[e].seats[setup_.seat_of_each[e]];
      start.parent[scene_.frame_named(each[e].slot)] = scene_.frame_named(mine);
      for (const BodyId number : ids_of(scene_.bodies)) {
        const SceneBody& body = scene_[number];
        if (!body.copy_of_seat || body.copy_of_seat == scene_.frame_named(mine) || starts_full(body.copy_of_seat))
          continue;
        if (std::none_of(each[e].seats.begin(), each[e].seats.end(),
                         [&](const std::string& seat) { return scene_.frame_named(seat) == body.copy_of_seat; }))
          continue;
        const Part& part = cell_[body.owner_part];
        start.present[number] = setup_.others ? *setup_.others == part.name : part.seat == each[e].slot;
      }
    }
    return start;
  }

  /// True for a seat that the file itself puts a part in, whatever the run.
  bool starts_full(FrameId seat) const {
    return std::any_of(cell_.parts.begin(), cell_.parts.end(),
                       [&](const Part& part) { return !part.seat.empty() && scene_.frame_named(part.seat) == seat; });
  }

  bool present(PartId part) const {
    for (const BodyId body : ids_of(scene_.bodies))
      if (scene_[body].is_of(part)) return now_.present[body] != 0;
    return false;
  }
  void set_present(PartId part, bool there) {
    for (const BodyId body : ids_of(scene_.bodies))
      if (scene_[body].is_of(part)) now_.present[body] = there ? 1 : 0;
  }

  /// The seat itself, where a slot stands for one.
  FrameId real_seat(const std::string& name) const {
    const FrameId seat = scene_.frame_named(name);
    return name.starts_with("@") ? now_.parent[seat] : seat;
  }
  FrameId seat_under(FrameId seat) const {  // a slot hangs on its seat without offset
    return scene_[seat].name.starts_with("@") ? now_.parent[seat] : seat;
  }
  std::string occupant(FrameId seat) const {
    for (const PartId part : ids_of(cell_.parts))
      if (present(part) && part != held_part_ && seat_under(now_.parent[scene_.frame_of(part)]) == seat)
        return cell_[part].name;
    for (const BodyId body : ids_of(scene_.bodies))
      if (now_.present[body] && scene_[body].copy_of_seat == seat) return scene_[body].name;
    return {};
  }
  BodyId body_under(FrameId seat) const {
    for (FrameId f = now_.parent[seat]; f > world_frame; f = now_.parent[f])
      for (const BodyId body : ids_of(scene_.bodies))
        if (scene_[body].frame == f) return body;
    return {};
  }
  Pose world(FrameId frame) const {  // of a frame that does not ride on the arm
    return world_pose(scene_, now_, ArmFrames{}, frame);
  }

  // ---- fingers ----

  std::vector<OpenFinger> fingers_of(TcpId tcp) const {
    std::vector<OpenFinger> fingers;
    const JawId jaw = id_named(cell_.jaws, cell_[tcp].jaw);
    if (!jaw) return fingers;
    const Jaw& entry = cell_[jaw];
    const ArmFrames links = arm_frames(cell_.arm.arm, Joints::Zero());
    const Pose jaw_in_world = world_pose(scene_, now_, links, scene_.frame_named(entry.name));
    for (const auto& finger : entry.fingers) {
      OpenFinger drawn;
      drawn.frame = scene_.frame_named(finger.body);
      const Frame& stated = scene_[drawn.frame];
      const Pose parent_in_world = world_pose(scene_, now_, links, stated.parent);
      drawn.closed = stated.in_parent;
      drawn.open = Eigen::Translation3d(parent_in_world.linear().transpose() * (jaw_in_world.linear() * finger.open)) *
                   stated.in_parent;
      fingers.push_back(drawn);
    }
    return fingers;
  }
  void move_fingers_at_once(TcpId tcp, bool open) {
    for (const auto& finger : fingers_of(tcp)) now_.in_parent[finger.frame] = open ? finger.open : finger.closed;
  }

  // ---- legs ----

  Leg& add(StretchKind kind) {
    Leg leg;
    leg.step = cell_[step_].name;
    leg.step_index = step_;
    leg.kind = kind;
    leg.arrangement = std::make_shared<const Arrangement>(now_);
    leg.held_part = held_part_;
    leg.holding_tcp = holding_tcp_;
    out_.legs.push_back(std::move(leg));
    return out_.legs.back();
  }
  void fail(std::string message, std::string mend) {
    PlanFailure failure;
    failure.why = PlanFailure::Why::wrong_state;
    failure.step_index = step_;
    failure.step = cell_[step_].name;
    failure.message = std::move(message);
    failure.mend = std::move(mend);
    out_.failure = std::move(failure);
  }
  LegTarget target_of(const MoveTarget& to) const {
    if (const auto* joints = std::get_if<JointTarget>(&to)) return {id_named(cell_.tcps, joints->tcp), joints->values};
    const auto& pose = std::get<PoseTarget>(to);
    return {id_named(cell_.tcps, pose.tcp), FrameTarget{scene_.frame_named(pose.frame), pose.at, pose.near}};
  }

  /// How a part is brought to or taken from a seat: the tcp's pose there and the way along the seat's axes.
  struct SeatVisit {
    FrameId seat;
    TcpId tcp;
    PartId part;
    Pose tcp_in_seat = Pose::Identity();
  };
  LegTarget beside_seat(const SeatVisit& visit, const Vector3d& offset) const {
    return {visit.tcp, FrameTarget{visit.seat, Eigen::Translation3d(offset) * visit.tcp_in_seat, std::nullopt}};
  }
  SeatContact contact_of(const SeatVisit& visit) const {
    return {visit.part, visit.tcp, body_under(visit.seat), (world(visit.seat) * visit.tcp_in_seat).translation()};
  }
  void line_beside_seat(const SeatVisit& visit, const Vector3d& offset) {
    Leg& leg = add(StretchKind::linear);
    leg.target = beside_seat(visit, offset);
    leg.contact = contact_of(visit);
  }
  /// Joint move to the first approach offset, then lines through the others into the seat.
  void approach(const SeatVisit& visit, const std::vector<Vector3d>& offsets) {
    add(StretchKind::joint).target = beside_seat(visit, offsets.empty() ? Vector3d::Zero() : offsets.front());
    for (std::size_t i = 1; i < offsets.size(); ++i) line_beside_seat(visit, offsets[i]);
    line_beside_seat(visit, Vector3d::Zero());
  }
  void retreat(const SeatVisit& visit, const std::vector<Vector3d>& offsets) {
    if (offsets.empty()) line_beside_seat(visit, Vector3d::Zero());
    for (const auto& offset : offsets) line_beside_seat(visit, offset);
  }
  /// The tool closes on the part, or lets it go, while the arm stands.
  void work_fingers(Leg& leg, TcpId tcp, bool open) const {
    for (const auto& finger : fingers_of(tcp))
      leg.shifts.push_back({finger.frame, open ? finger.closed : finger.open, open ? finger.open : finger.closed});
  }

  // ---- one function a verb ----

  void spell(const MoveStep& move) {
    add(move.linear ? StretchKind::linear : StretchKind::joint).target = target_of(move.to);
  }

  void spell(const PickStep& pick) {
    const auto part = id_named(cell_.parts, pick.part);
    const std::size_t turn_number = picks_++;
    if (held_part_) return fail(fmt::format("the tool already holds '{}'", cell_[held_part_].name), "place it first");
    if (!present(part))
      return fail(fmt::format("'{}' is not in the cell", pick.part), "bring it, or pick it before it leaves");
    const Grasp& grasp = grasp_of(cell_[part], pick);
    const double turn = turn_number < setup_.turn_of_pick.size() ? setup_.turn_of_pick[turn_number] : 0.0;
    const Pose tcp_in_part = grasp.at * Eigen::AngleAxisd(turn, Vector3d::UnitZ());
    const FrameId on = scene_.frame_of(part);

    SeatVisit visit;
    visit.seat = seat_under(now_.parent[on]);
    visit.tcp = id_named(cell_.tcps, pick.tcp);
    visit.part = part;
    visit.tcp_in_seat = now_.in_parent[on] * tcp_in_part;
    approach(visit, pick.approach);

    Leg& grip = add(StretchKind::grip);
    grip.contact = contact_of(visit);
    const Tcp& tcp = cell_[visit.tcp];
    grip.dwell = tcp.grip_time + evacuation_time(cell_, tcp.suction);
    grip.grasp_turn = turn;
    work_fingers(grip, visit.tcp, false);

    move_fingers_at_once(visit.tcp, false);
    now_.parent[on] = scene_.frame_named(pick.tcp);
    now_.in_parent[on] = tcp_in_part.inverse();
    held_part_ = part;
    holding_tcp_ = visit.tcp;
    retreat(visit, pick.retreat);
  }

  void spell(const PlaceStep& place) {
    const auto part = id_named(cell_.parts, place.part);
    const auto seat = real_seat(place.seat);
    if (held_part_ != part) return fail(fmt::format("the tool does not hold '{}'", place.part), "pick it first");
    if (!place.tcp.empty() && id_named(cell_.tcps, place.tcp) != holding_tcp_)
      return fail(fmt::format("'{}' is held by another tcp than '{}'", place.part, place.tcp),
                  "name the tcp that picked it");
    if (const std::string in_the_way = occupant(seat); !in_the_way.empty())
      return fail(fmt::format("seat '{}' is taken by '{}'", scene_[seat].name, in_the_way),
                  "empty the seat first or name another");
    const FrameId on = scene_.frame_of(part);
    SeatVisit visit;
    visit.seat = seat;
    visit.tcp = holding_tcp_;
    visit.part = part;
    visit.tcp_in_seat = place.at * now_.in_parent[on].inverse();
    approach(visit, place.approach);

    Leg& release = add(StretchKind::release);
    release.contact = contact_of(visit);
    release.dwell = place.confirm + cell_[visit.tcp].release_time;
    work_fingers(release, visit.tcp, true);

    move_fingers_at_once(visit.tcp, true);
    now_.parent[on] = seat;
    now_.in_parent[on] = place.at;
    held_part_ = {};
    holding_tcp_ = {};
    retreat(visit, place.retreat);
  }

  void spell(const LookStep& look) {
    if (look.to) add(StretchKind::joint).target = target_of(*look.to);
    add(StretchKind::look);
  }

  void spell(const WaitStep& wait) { add(StretchKind::wait).dwell = wait.time; }

  void spell(const ShiftStep& shift) {
    Leg& leg = add(StretchKind::shift);
    leg.dwell = shift.time;
    for (std::size_t i = 0; i < shift.bodies.size(); ++i) {
      const FrameId frame = scene_.frame_named(shift.bodies[i]);
      leg.shifts.push_back({frame, now_.in_parent[frame], shift.to[i]});
    }
    for (std::size_t i = 0; i < shift.bodies.size(); ++i)
      now_.in_parent[scene_.frame_named(shift.bodies[i])] = shift.to[i];
  }

  void spell(const MachineStep& machine) {
    const auto part = id_named(cell_.parts, machine.part), into = id_named(cell_.parts, machine.into);
    if (!present(part) || part == held_part_)
      return fail(fmt::format("'{}' does not lie in a seat", machine.part), "place it in the machine first");
    if (into != part && present(into))
      return fail(fmt::format("'{}' is in the cell already", machine.into), "leave out its `seat`, or remove it first");
    add(StretchKind::machine).dwell = machine.time;
    const FrameId from = scene_.frame_of(part), to = scene_.frame_of(into);
    now_.parent[to] = now_.parent[from];
    now_.in_parent[to] = now_.in_parent[from];
    set_present(part, false);
    set_present(into, true);
  }

  void spell(const BringStep& bring) {
    const auto part = id_named(cell_.parts, bring.part);
    const auto seat = real_seat(bring.seat);
    if (present(part)) return fail(fmt::format("'{}' is in the cell already", bring.part), "remove it first");
    if (const std::string in_the_way = occupant(seat); !in_the_way.empty())
      return fail(fmt::format("seat '{}' is taken by '{}'", bring.seat, in_the_way),
                  "empty the seat first or name another");
    add(StretchKind::bring);
    now_.parent[scene_.frame_of(part)] = seat;
    now_.in_parent[scene_.frame_of(part)] = bring.at;
    set_present(part, true);
  }

  void spell(const RemoveStep& remove) {
    const auto part = id_named(cell_.parts, remove.part);
    if (!present(part) || part == held_part_)
      return fail(fmt::format("'{}' does not lie in a seat", remove.part), "place it first");
    add(StretchKind::remove);
    set_present(part, false);
  }

  const Scene& scene_;
  const Cell& cell_;
  const RunSetup& setup_;
  Arrangement now_;
  PartId held_part_;
  TcpId holding_tcp_;
  std::size_t picks_ = 0;
  StepId step_;
  Legs out_;
};

}  // namespace

Legs spell_out(const Scene& scene, const RunSetup& setup) {
  return Speller(scene, setup).run();
}

}  // namespace cellproof
