// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/legs.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/suction_force.hpp"
#include "scene/fingers.hpp"

namespace cellproof {

namespace {

/// Walks the steps and writes a leg for each thing that happens.
class Speller {
 public:
  Speller(const Scene& scene, const RunSetup& setup) : scene_(scene), cell_(scene.cell), setup_(setup) {
    now_ = starting_arrangement();
    for (const auto& tcp : cell_.tcps) open_at_once(id_named(cell_.jaws, tcp.jaw));
    for (const auto& hold : cell_.holds) open_at_once(id_named(cell_.jaws, hold.jaw));
  }

  Legs run() {
    const auto& steps = cell_.cycle->steps;
    for (const StepId id : ids_of(steps)) {
      if (out_.failure) break;
      step_ = &steps[id];
      step_index_ = id;
      std::visit([this](const auto& action) { spell(action); }, step_->action);
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
      start.parent[frame(each[e].slot)] = scene_.frame_named(mine);
      for (const BodyId b : ids_of(scene_.bodies)) {
        const SceneBody& body = scene_.bodies[b];
        if (!body.copy_of_seat || body.copy_of_seat == scene_.frame_named(mine) || starts_full(body.copy_of_seat))
          continue;
        if (std::none_of(each[e].seats.begin(), each[e].seats.end(),
                         [&](const std::string& seat) { return scene_.frame_named(seat) == body.copy_of_seat; }))
          continue;
        const Part& part = cell_.parts[body.owner_part];
        start.present[b] = setup_.others ? *setup_.others == part.name : part.seat == each[e].slot;
      }
    }
    return start;
  }

  /// True for a seat that the file itself puts a part in, whatever the run.
  bool starts_full(FrameId seat) const {
    return std::any_of(cell_.parts.begin(), cell_.parts.end(),
                       [&](const Part& part) { return !part.seat.empty() && scene_.frame_named(part.seat) == seat; });
  }

  FrameId frame(const std::string& name) const { return scene_.frame_named(name); }
  FrameId part_frame(PartId part) const { return scene_.frame_of(part); }
  const std::string& part_name(PartId part) const { return cell_.parts[part].name; }

  bool present(PartId part) const {
    for (const BodyId b : ids_of(scene_.bodies))
      if (scene_.bodies[b].owner_part == part && !scene_.bodies[b].copy_of_seat) return now_.present[b] != 0;
    return false;
  }
  void set_present(PartId part, bool there) {
    for (const BodyId b : ids_of(scene_.bodies))
      if (scene_.bodies[b].owner_part == part && !scene_.bodies[b].copy_of_seat) now_.present[b] = there ? 1 : 0;
  }

  /// The seat itself, where a slot stands for one.
  FrameId real_seat(const std::string& name) const {
    const FrameId seat = scene_.frame_named(name);
    return name.starts_with("@") ? now_.parent[seat] : seat;
  }
  FrameId seat_under(FrameId seat) const {  // a slot hangs on its seat without offset
    return scene_.frames[seat].name.starts_with("@") ? now_.parent[seat] : seat;
  }
  std::string occupant(FrameId seat) const {
    for (const PartId part : ids_of(cell_.parts)) {
      if (present(part) && part != held_part_ && seat_under(now_.parent[part_frame(part)]) == seat)
        return part_name(part);
    }
    for (const BodyId b : ids_of(scene_.bodies))
      if (now_.present[b] && scene_.bodies[b].copy_of_seat == seat) return scene_.bodies[b].name;
    return {};
  }
  BodyId body_under(FrameId seat) const {
    for (FrameId f = now_.parent[seat]; f > world_frame; f = now_.parent[f])
      for (const BodyId b : ids_of(scene_.bodies))
        if (scene_.bodies[b].frame == f) return b;
    return {};
  }
  Pose world(FrameId frame_number) const {  // of a frame that does not ride on the arm
    return world_pose(scene_, now_, ArmFrames{}, frame_number);
  }

  // ---- fingers ----

  void open_at_once(JawId jaw) {
    if (!jaw) return;
    for (const FingerPlaces& finger : finger_places(scene_, now_, jaw)) now_.in_parent[finger.frame] = finger.open;
  }
  /// Fingers go from where they are to their places, open or closed, while the arm stands.
  void work_fingers(Leg& leg, const Table<FingerId, FingerPlaces>& fingers, bool open) {
    for (const FingerPlaces& finger : fingers) {
      Pose& now = now_.in_parent[finger.frame];
      const Pose& to = open ? finger.open : finger.closed;
      leg.shifts.push_back({finger.frame, now, to});
      now = to;
    }
  }
  Table<FingerId, FingerPlaces> fingers_closed(JawId jaw, PartId part, const Pose& part_in_world) const {
    return !jaw ? Table<FingerId, FingerPlaces>{} : fingers_closed_on(scene_, now_, jaw, part, part_in_world);
  }
  Table<FingerId, FingerPlaces> fingers_of(JawId jaw) const {
    return !jaw ? Table<FingerId, FingerPlaces>{} : finger_places(scene_, now_, jaw);
  }
  JawId jaw_of(TcpId tcp) const { return id_named(cell_.jaws, cell_.tcps[tcp].jaw); }
  /// The jaw of a hold that a step names, if there is one.
  JawId jaw_of_hold(const std::string& hold) const {
    const HoldId id = id_named(cell_.holds, hold);
    return id ? id_named(cell_.jaws, cell_.holds[id].jaw) : JawId{};
  }

  // ---- legs ----

  Leg& add(StretchKind kind) {
    Leg leg;
    leg.step = step_->name;
    leg.step_index = step_index_;
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
    failure.step_index = step_index_;
    failure.step = step_->name;
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
    JawId hold_jaw;  ///< of the hold that takes or lets go
  };
  LegTarget beside_seat(const SeatVisit& visit, const Vector3d& offset) const {
    return {visit.tcp, FrameTarget{visit.seat, Eigen::Translation3d(offset) * visit.tcp_in_seat, std::nullopt}};
  }
  SeatContact contact_of(const SeatVisit& visit) const {
    return {visit.part, visit.tcp, body_under(visit.seat), visit.hold_jaw,
            (world(visit.seat) * visit.tcp_in_seat).translation()};
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
  /// The fixture closes about the part that has arrived, before the tool lets it go.
  void take_hold(const SeatVisit& visit, const std::string& name, const Pose& part_in_world) {
    const HoldId id = id_named(cell_.holds, name);
    if (!id) return;
    const double time = cell_.holds[id].hold_time;
    const auto fingers = fingers_closed(visit.hold_jaw, visit.part, part_in_world);
    if (fingers.empty() && time == 0) return;
    Leg& hold = add(StretchKind::hold);
    hold.contact = contact_of(visit);
    hold.dwell = time;
    work_fingers(hold, fingers, false);
  }
  /// It opens once the tool has gripped the part, before the part is lifted.
  void let_go(const SeatVisit& visit) {
    const auto fingers = fingers_of(visit.hold_jaw);
    if (fingers.empty()) return;
    Leg& unhold = add(StretchKind::unhold);
    unhold.contact = contact_of(visit);
    work_fingers(unhold, fingers, true);
  }

  // ---- one function a verb ----

  /// True if a link of the arm carries a frame as things stand: a held part's, for one.
  bool moved_by_arm(FrameId frame) const {
    for (; frame > world_frame; frame = now_.parent[frame])
      if (scene_.frames[frame].link.value_or(0) > 0) return true;
    return false;
  }
  void spell(const MoveStep& move) {
    const auto* pose = std::get_if<PoseTarget>(&move.to);
    if (move.linear && pose && moved_by_arm(scene_.frame_named(pose->frame)))
      return fail(fmt::format("the arm carries '{}', so a line in it has no fixed end", pose->frame),
                  "use a frame that the arm does not move: world, base, a seat, a body");
    add(move.linear ? StretchKind::linear : StretchKind::joint).target = target_of(move.to);
  }

  void spell(const PickStep& pick) {
    const PartId part = id_named(cell_.parts, pick.part);
    const std::size_t turn_number = picks_++;
    if (held_part_) return fail(fmt::format("the tool already holds '{}'", part_name(held_part_)), "place it first");
    if (!present(part))
      return fail(fmt::format("'{}' is not in the cell", pick.part), "bring it, or pick it before it leaves");
    const auto& grasps = cell_.parts[part].grasps;
    const GraspId grasp = pick.grasp.empty() ? GraspId(0) : id_named(grasps, pick.grasp);
    const double turn = turn_number < setup_.turn_of_pick.size() ? setup_.turn_of_pick[turn_number] : 0.0;
    const Pose tcp_in_part = grasps[grasp].at * Eigen::AngleAxisd(turn, Vector3d::UnitZ());
    const FrameId on = part_frame(part);

    SeatVisit visit;
    visit.seat = seat_under(now_.parent[on]);
    visit.tcp = id_named(cell_.tcps, pick.tcp);
    visit.part = part;
    visit.tcp_in_seat = now_.in_parent[on] * tcp_in_part;
    visit.hold_jaw = jaw_of_hold(pick.unhold);
    approach(visit, pick.approach);

    Leg& grip = add(StretchKind::grip);
    grip.contact = contact_of(visit);
    const Tcp& tcp = cell_.tcps[visit.tcp];
    grip.dwell = tcp.grip_time + evacuation_time(cell_, tcp.suction);
    grip.grasp_turn = turn;
    work_fingers(grip, fingers_closed(jaw_of(visit.tcp), part, part_in_hand(scene_, now_, visit.tcp, tcp_in_part)),
                 false);

    now_.parent[on] = scene_.frame_named(pick.tcp);
    now_.in_parent[on] = tcp_in_part.inverse();
    held_part_ = part;
    holding_tcp_ = visit.tcp;
    let_go(visit);
    retreat(visit, pick.retreat);
  }

  void spell(const PlaceStep& place) {
    const PartId part = id_named(cell_.parts, place.part);
    const FrameId seat = real_seat(place.seat);
    if (held_part_ != part) return fail(fmt::format("the tool does not hold '{}'", place.part), "pick it first");
    if (!place.tcp.empty() && id_named(cell_.tcps, place.tcp) != holding_tcp_)
      return fail(fmt::format("'{}' is held by another tcp than '{}'", place.part, place.tcp),
                  "name the tcp that picked it");
    if (const std::string in_the_way = occupant(seat); !in_the_way.empty())
      return fail(fmt::format("seat '{}' is taken by '{}'", scene_.frames[seat].name, in_the_way),
                  "empty the seat first or name another");
    const FrameId on = part_frame(part);
    SeatVisit visit;
    visit.seat = seat;
    visit.tcp = holding_tcp_;
    visit.part = part;
    visit.tcp_in_seat = place.at * now_.in_parent[on].inverse();
    visit.hold_jaw = jaw_of_hold(place.hold);
    approach(visit, place.approach);
    take_hold(visit, place.hold, world(seat) * place.at);

    Leg& release = add(StretchKind::release);
    release.contact = contact_of(visit);
    release.dwell = place.confirm + cell_.tcps[visit.tcp].release_time;
    work_fingers(release, fingers_of(jaw_of(visit.tcp)), true);

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
      const FrameId f = frame(shift.bodies[i]);
      leg.shifts.push_back({f, now_.in_parent[f], shift.to[i]});
    }
    for (std::size_t i = 0; i < shift.bodies.size(); ++i) now_.in_parent[frame(shift.bodies[i])] = shift.to[i];
  }

  void spell(const MachineStep& machine) {
    const PartId part = id_named(cell_.parts, machine.part), into = id_named(cell_.parts, machine.into);
    if (!present(part) || part == held_part_)
      return fail(fmt::format("'{}' does not lie in a seat", machine.part), "place it in the machine first");
    if (into != part && present(into))
      return fail(fmt::format("'{}' is in the cell already", machine.into), "leave out its `seat`, or remove it first");
    add(StretchKind::machine).dwell = machine.time;
    const FrameId from = part_frame(part), to = part_frame(into);
    now_.parent[to] = now_.parent[from];
    now_.in_parent[to] = now_.in_parent[from];
    set_present(part, false);
    set_present(into, true);
  }

  void spell(const BringStep& bring) {
    const PartId part = id_named(cell_.parts, bring.part);
    const FrameId seat = real_seat(bring.seat);
    if (present(part)) return fail(fmt::format("'{}' is in the cell already", bring.part), "remove it first");
    if (const std::string in_the_way = occupant(seat); !in_the_way.empty())
      return fail(fmt::format("seat '{}' is taken by '{}'", bring.seat, in_the_way),
                  "empty the seat first or name another");
    add(StretchKind::bring);
    now_.parent[part_frame(part)] = seat;
    now_.in_parent[part_frame(part)] = bring.at;
    set_present(part, true);
  }

  void spell(const RemoveStep& remove) {
    const PartId part = id_named(cell_.parts, remove.part);
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
  const Step* step_ = nullptr;
  StepId step_index_;
  Legs out_;
};

}  // namespace

Legs spell_out(const Scene& scene, const RunSetup& setup) {
  return Speller(scene, setup).run();
}

}  // namespace cellproof
