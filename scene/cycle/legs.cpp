// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/legs.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/named_entry.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/fingers.hpp"

namespace cellproof {

namespace {

/// Walks the steps and writes a leg for each thing that happens.
class Speller {
 public:
  Speller(const Scene& scene, const RunSetup& setup) : scene_(scene), cell_(scene.cell), setup_(setup) {
    now_ = starting_arrangement();
    for (const auto& tcp : cell_.tcps) open_at_once(index_named(cell_.jaws, tcp.jaw));
    for (const auto& hold : cell_.holds) open_at_once(index_named(cell_.jaws, hold.jaw));
  }

  Legs run() {
    const auto& steps = cell_.cycle->steps;
    for (std::size_t i = 0; i < steps.size() && !out_.failure; ++i) {
      step_ = &steps[i];
      step_index_ = static_cast<int>(i);
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
      for (std::size_t b = 0; b < scene_.bodies.size(); ++b) {
        const SceneBody& body = scene_.bodies[b];
        if (body.copy_of_seat < 0 || body.copy_of_seat == scene_.frame_named(mine) || starts_full(body.copy_of_seat))
          continue;
        if (std::none_of(each[e].seats.begin(), each[e].seats.end(),
                         [&](const std::string& seat) { return scene_.frame_named(seat) == body.copy_of_seat; }))
          continue;
        const Part& part = cell_.parts[static_cast<std::size_t>(body.owner_part)];
        start.present[b] = setup_.others ? *setup_.others == part.name : part.seat == each[e].slot;
      }
    }
    return start;
  }

  /// True for a seat that the file itself puts a part in, whatever the run.
  bool starts_full(int seat) const {
    return std::any_of(cell_.parts.begin(), cell_.parts.end(),
                       [&](const Part& part) { return !part.seat.empty() && scene_.frame_named(part.seat) == seat; });
  }

  std::size_t frame(const std::string& name) const { return static_cast<std::size_t>(scene_.frame_named(name)); }
  std::size_t part_frame(int part) const { return frame(cell_.parts[static_cast<std::size_t>(part)].name); }
  const std::string& part_name(int part) const { return cell_.parts[static_cast<std::size_t>(part)].name; }

  bool present(int part) const {
    for (std::size_t b = 0; b < scene_.bodies.size(); ++b)
      if (scene_.bodies[b].owner_part == part && scene_.bodies[b].copy_of_seat < 0) return now_.present[b] != 0;
    return false;
  }
  void set_present(int part, bool there) {
    for (std::size_t b = 0; b < scene_.bodies.size(); ++b)
      if (scene_.bodies[b].owner_part == part && scene_.bodies[b].copy_of_seat < 0) now_.present[b] = there ? 1 : 0;
  }

  /// The seat itself, where a slot stands for one.
  int real_seat(const std::string& name) const {
    const int seat = scene_.frame_named(name);
    return name.starts_with("@") ? now_.parent[static_cast<std::size_t>(seat)] : seat;
  }
  int seat_under(int seat) const {  // a slot hangs on its seat without offset
    return scene_.frames[static_cast<std::size_t>(seat)].name.starts_with("@")
               ? now_.parent[static_cast<std::size_t>(seat)]
               : seat;
  }
  std::string occupant(int seat) const {
    for (std::size_t part = 0; part < cell_.parts.size(); ++part) {
      const int number = static_cast<int>(part);
      if (present(number) && number != held_part_ && seat_under(now_.parent[part_frame(number)]) == seat)
        return part_name(number);
    }
    for (std::size_t b = 0; b < scene_.bodies.size(); ++b)
      if (now_.present[b] && scene_.bodies[b].copy_of_seat == seat) return scene_.bodies[b].name;
    return {};
  }
  int body_under(int seat) const {
    for (int f = now_.parent[static_cast<std::size_t>(seat)]; f > 0; f = now_.parent[static_cast<std::size_t>(f)])
      for (std::size_t b = 0; b < scene_.bodies.size(); ++b)
        if (scene_.bodies[b].frame == f) return static_cast<int>(b);
    return -1;
  }
  Pose world(int frame_number) const {  // of a frame that does not ride on the arm
    return world_pose(scene_, now_, ArmFrames{}, frame_number);
  }

  // ---- fingers ----

  void open_at_once(int jaw) {
    if (jaw < 0) return;
    for (const FingerPlaces& finger : finger_places(scene_, now_, jaw))
      now_.in_parent[static_cast<std::size_t>(finger.frame)] = finger.open;
  }
  /// Fingers go from where they are to their places, open or closed, while the arm stands.
  void work_fingers(Leg& leg, const std::vector<FingerPlaces>& fingers, bool open) {
    for (const FingerPlaces& finger : fingers) {
      Pose& now = now_.in_parent[static_cast<std::size_t>(finger.frame)];
      const Pose& to = open ? finger.open : finger.closed;
      leg.shifts.push_back({finger.frame, now, to});
      now = to;
    }
  }
  std::vector<FingerPlaces> fingers_closed(int jaw, int part, const Pose& part_in_world) const {
    return jaw < 0 ? std::vector<FingerPlaces>{} : fingers_closed_on(scene_, now_, jaw, part, part_in_world);
  }
  std::vector<FingerPlaces> fingers_of(int jaw) const {
    return jaw < 0 ? std::vector<FingerPlaces>{} : finger_places(scene_, now_, jaw);
  }
  int jaw_of(int tcp) const { return index_named(cell_.jaws, cell_.tcps[static_cast<std::size_t>(tcp)].jaw); }
  /// The jaw of a hold that a step names, -1 without.
  int jaw_of_hold(const std::string& hold) const {
    const int index = index_named(cell_.holds, hold);
    return index < 0 ? -1 : index_named(cell_.jaws, cell_.holds[static_cast<std::size_t>(index)].jaw);
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
    if (const auto* joints = std::get_if<JointTarget>(&to))
      return {index_named(cell_.tcps, joints->tcp), joints->values};
    const auto& pose = std::get<PoseTarget>(to);
    return {index_named(cell_.tcps, pose.tcp), FrameTarget{scene_.frame_named(pose.frame), pose.at, pose.near}};
  }

  /// How a part is brought to or taken from a seat: the tcp's pose there and the way along the seat's axes.
  struct SeatVisit {
    int seat = -1, tcp = -1, part = -1;
    Pose tcp_in_seat = Pose::Identity();
    int hold_jaw = -1;  ///< of the hold that takes or lets go
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
    const int index = index_named(cell_.holds, name);
    if (index < 0) return;
    const double time = cell_.holds[static_cast<std::size_t>(index)].hold_time;
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
  bool moved_by_arm(int frame) const {
    for (; frame > 0; frame = now_.parent[static_cast<std::size_t>(frame)])
      if (scene_.frames[static_cast<std::size_t>(frame)].link > 0) return true;
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
    const int part = index_named(cell_.parts, pick.part);
    const std::size_t turn_number = picks_++;
    if (held_part_ >= 0)
      return fail(fmt::format("the tool already holds '{}'", part_name(held_part_)), "place it first");
    if (!present(part))
      return fail(fmt::format("'{}' is not in the cell", pick.part), "bring it, or pick it before it leaves");
    const auto& grasps = cell_.parts[static_cast<std::size_t>(part)].grasps;
    const int grasp = pick.grasp.empty() ? 0 : index_named(grasps, pick.grasp);
    const double turn = turn_number < setup_.turn_of_pick.size() ? setup_.turn_of_pick[turn_number] : 0.0;
    const Pose tcp_in_part = grasps[static_cast<std::size_t>(grasp)].at * Eigen::AngleAxisd(turn, Vector3d::UnitZ());
    const std::size_t on = part_frame(part);

    SeatVisit visit;
    visit.seat = seat_under(now_.parent[on]);
    visit.tcp = index_named(cell_.tcps, pick.tcp);
    visit.part = part;
    visit.tcp_in_seat = now_.in_parent[on] * tcp_in_part;
    visit.hold_jaw = jaw_of_hold(pick.unhold);
    approach(visit, pick.approach);

    Leg& grip = add(StretchKind::grip);
    grip.contact = contact_of(visit);
    const Tcp& tcp = cell_.tcps[static_cast<std::size_t>(visit.tcp)];
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
    const int part = index_named(cell_.parts, place.part);
    const int seat = real_seat(place.seat);
    if (held_part_ != part) return fail(fmt::format("the tool does not hold '{}'", place.part), "pick it first");
    if (!place.tcp.empty() && index_named(cell_.tcps, place.tcp) != holding_tcp_)
      return fail(fmt::format("'{}' is held by another tcp than '{}'", place.part, place.tcp),
                  "name the tcp that picked it");
    if (const std::string in_the_way = occupant(seat); !in_the_way.empty())
      return fail(
          fmt::format("seat '{}' is taken by '{}'", scene_.frames[static_cast<std::size_t>(seat)].name, in_the_way),
          "empty the seat first or name another");
    const std::size_t on = part_frame(part);
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
    release.dwell = place.confirm + cell_.tcps[static_cast<std::size_t>(visit.tcp)].release_time;
    work_fingers(release, fingers_of(jaw_of(visit.tcp)), true);

    now_.parent[on] = seat;
    now_.in_parent[on] = place.at;
    held_part_ = holding_tcp_ = -1;
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
      const std::size_t f = frame(shift.bodies[i]);
      leg.shifts.push_back({static_cast<int>(f), now_.in_parent[f], shift.to[i]});
    }
    for (std::size_t i = 0; i < shift.bodies.size(); ++i) now_.in_parent[frame(shift.bodies[i])] = shift.to[i];
  }

  void spell(const MachineStep& machine) {
    const int part = index_named(cell_.parts, machine.part), into = index_named(cell_.parts, machine.into);
    if (!present(part) || part == held_part_)
      return fail(fmt::format("'{}' does not lie in a seat", machine.part), "place it in the machine first");
    if (into != part && present(into))
      return fail(fmt::format("'{}' is in the cell already", machine.into), "leave out its `seat`, or remove it first");
    add(StretchKind::machine).dwell = machine.time;
    const std::size_t from = part_frame(part), to = part_frame(into);
    now_.parent[to] = now_.parent[from];
    now_.in_parent[to] = now_.in_parent[from];
    set_present(part, false);
    set_present(into, true);
  }

  void spell(const BringStep& bring) {
    const int part = index_named(cell_.parts, bring.part);
    const int seat = real_seat(bring.seat);
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
    const int part = index_named(cell_.parts, remove.part);
    if (!present(part) || part == held_part_)
      return fail(fmt::format("'{}' does not lie in a seat", remove.part), "place it first");
    add(StretchKind::remove);
    set_present(part, false);
  }

  const Scene& scene_;
  const Cell& cell_;
  const RunSetup& setup_;
  Arrangement now_;
  int held_part_ = -1, holding_tcp_ = -1;
  std::size_t picks_ = 0;
  const Step* step_ = nullptr;
  int step_index_ = -1;
  Legs out_;
};

}  // namespace

Legs spell_out(const Scene& scene, const RunSetup& setup) {
  return Speller(scene, setup).run();
}

}  // namespace cellproof
