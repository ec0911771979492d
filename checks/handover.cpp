// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/handover.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/each_stretch.hpp"
#include "checks/grip_mend.hpp"
#include "checks/hold_spans.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/cell/supply.hpp"

namespace cellproof {

namespace {

class Handovers {
 public:
  Handovers(const Scene& scene, const CycleRun& run, std::vector<Finding>& findings)
      : scene_(scene), cell_(scene.cell), run_(run), holds_(hold_spans(scene, run)), findings_(findings) {}

  void look() {
    for (std::size_t s = 0; s < run_.stretches.size(); ++s) {
      const Stretch& stretch = run_.stretches[s];
      if (stretch.kind == StretchKind::release) look_at_release(s, *action_of<PlaceStep>(scene_, stretch));
      if (stretch.kind == StretchKind::grip) look_at_grip(s, *action_of<PickStep>(scene_, stretch));
      if (stretch.kind == StretchKind::machine) look_at_work(s, *action_of<MachineStep>(scene_, stretch));
    }
    for (const auto& held : holds_)
      if (held.let_go == run_.stretches.size()) {
        const std::string& name = cell_.holds[held.hold].name;
        add(Severity::caution, held.taken, {name}, fmt::format("'{}' still holds when the cycle ends", name),
            "let it go with `unhold` in the pick that takes the part");
      }
  }

 private:
  Finding& add(Severity severity, std::size_t stretch, std::vector<std::string> between, std::string message,
               std::string mend) {
    Finding finding =
        finding_at(Check::sequence, severity, run_, run_.stretches[stretch], run_.stretches[stretch].start_s);
    finding.between = std::move(between);
    finding.message = std::move(message);
    finding.mend = std::move(mend);
    findings_.push_back(std::move(finding));
    return findings_.back();
  }

  std::string seat_name(std::size_t stretch, const std::string& name) const {
    const FrameId seat = true_seat(scene_, *run_.stretches[stretch].arrangement, scene_.frame_named(name));
    return scene_.frames[seat].name;
  }

  /// True for a hold that holds during a stretch, or is just let go in it.
  bool holds_during(HoldId hold, std::size_t stretch) const {
    return std::any_of(holds_.begin(), holds_.end(), [&](const HoldSpan& held) {
      return held.hold == hold && held.taken < stretch && stretch <= held.let_go;
    });
  }

  void look_at_release(std::size_t s, const PlaceStep& place) {
    const HoldId hold = id_named(cell_.holds, place.hold);
    if (hold) {
      look_at_hold_of_place(s, place, cell_.holds[hold]);
      look_at_confirm(s, place, cell_.holds[hold]);
    } else {
      look_at_seat(s, place);
    }
  }

  void look_at_hold_of_place(std::size_t s, const PlaceStep& place, const Hold& hold) {
    if (hold.part != place.part)
      add(Severity::fail, s, {hold.name, place.part},
          fmt::format("'{}' is a hold for '{}', but '{}' is placed with it", hold.name, hold.part, place.part),
          "name the hold that is entered for this part");
    else if (seat_name(s, hold.seat) != seat_name(s, place.seat))
      add(Severity::fail, s, {hold.name, place.part},
          fmt::format("'{}' holds in seat '{}', but '{}' is placed in '{}'", hold.name, hold.seat, place.part,
                      seat_name(s, place.seat)),
          "name the hold that is entered for this seat");
  }

  void look_at_confirm(std::size_t s, const PlaceStep& place, const Hold& hold) {
    const double needed = evacuation_time(cell_, hold.suction);
    if (place.confirm < needed) {
      Finding& finding = add(Severity::fail, s, {hold.name, place.part},
                             fmt::format("'{}' is let go {:.2f} s after '{}' takes hold, but its vacuum needs {:.2f} s",
                                         place.part, place.confirm, hold.name, needed),
                             fmt::format("wait for it: confirm = \"{:g} s\"", rounded_up(needed)));
      finding.judged = {place.confirm, needed, "s"};
    } else if (place.confirm + hold.hold_time <= 0) {
      add(Severity::caution, s, {hold.name, place.part},
          fmt::format("'{}' is let go without waiting for '{}' to hold", place.part, hold.name),
          hold.suction.empty()
              ? "give `confirm` the time that the fixture and its switch need, and `hold_time` that of its closing"
              : "give `confirm` the time that the fixture and its switch need");
    }
  }

  /// Without a hold the part lies by its weight alone.
  void look_at_seat(std::size_t s, const PlaceStep& place) {
    if (place.drop) return;  // a chute is steep on purpose
    const Stretch& stretch = run_.stretches[s];
    const Joints joints = stretch.motion.path.start();
    const Pose seat =
        world_pose(scene_, *stretch.arrangement, arm_frames(cell_.arm.arm, joints), scene_.frame_named(place.seat));
    const double tilt = std::acos(std::clamp(seat.linear()(2, 2), -1.0, 1.0));
    constexpr double oily_friction = 0.1;
    if (tilt <= std::atan(oily_friction)) return;
    const bool falls = tilt >= pi / 2 - 1e-9;
    Finding& finding =
        add(falls ? Severity::fail : Severity::caution, s, {place.part, place.seat},
            fmt::format("'{}' is let go in '{}', which is tilted by {:.1f} deg, and nothing holds it there", place.part,
                        place.seat, degrees(tilt)),
            "give the place a `hold`, or turn the seat level");
    finding.judged = {degrees(tilt), degrees(std::atan(oily_friction)), "deg"};
  }

  void look_at_grip(std::size_t s, const PickStep& pick) {
    const Stretch& stretch = run_.stretches[s];
    const HoldId unhold = id_named(cell_.holds, pick.unhold);
    if (unhold && !holds_during(unhold, s))
      add(Severity::caution, s, {pick.unhold, pick.part},
          fmt::format("'{}' is to let go of '{}', but it does not hold then", pick.unhold, pick.part),
          "take hold in the place before, or leave `unhold` out");
    const FrameId seat =
        true_seat(scene_, *stretch.arrangement, stretch.arrangement->parent[scene_.frame_named(pick.part)]);
    for (const auto& held : holds_) {
      const Hold& hold = cell_.holds[held.hold];
      if (held.hold == unhold || held.taken >= s || held.let_go <= s) continue;
      if (true_seat(scene_, *stretch.arrangement, scene_.frame_named(hold.seat)) != seat) continue;
      add(Severity::fail, s, {hold.name, pick.part},
          fmt::format("the arm draws '{}' out of its seat while '{}' still holds it", pick.part, hold.name),
          fmt::format("add unhold = \"{}\" to this pick", hold.name));
    }
  }

  void look_at_work(std::size_t s, const MachineStep& machine) {
    const Stretch& stretch = run_.stretches[s];
    const FrameId lies_on = stretch.arrangement->parent[scene_.frame_named(machine.part)];
    for (const HoldId h : ids_of(cell_.holds)) {
      const Hold& hold = cell_.holds[h];
      if (hold.part != machine.part || true_seat(scene_, *stretch.arrangement, scene_.frame_named(hold.seat)) !=
                                           true_seat(scene_, *stretch.arrangement, lies_on))
        continue;
      if (holds_during(h, s)) return;
      add(Severity::fail, s, {hold.name, machine.part},
          fmt::format("the machine works on '{}' while '{}' does not hold it", machine.part, hold.name),
          fmt::format("take hold in the place before: hold = \"{}\"", hold.name));
      return;
    }
  }

  const Scene& scene_;
  const Cell& cell_;
  const CycleRun& run_;
  std::vector<HoldSpan> holds_;
  std::vector<Finding>& findings_;
};

bool holds_by_vacuum(const Cell& cell, const std::string& hold) {
  const HoldId id = id_named(cell.holds, hold);
  return id && !cell.holds[id].suction.empty();
}

/// ", 0.8 s at the most": the timeout of a vacuum switch, where the time of its supply is known; no less than planned.
std::string at_most_text(const Cell& cell, const std::vector<std::string>& zones, double before, double planned) {
  const auto on_supply = [&](const std::string& zone) {
    return !cell.suctions[id_named(cell.suctions, zone)].supply.empty();
  };
  const double time = evacuation_time(cell, zones);
  if (!(time > 0) || std::ranges::none_of(zones, on_supply)) return {};
  return fmt::format(", {:.1f} s at the most", std::max(planned, before + switch_timeout(time)));
}

}  // namespace

void add_handover_findings(const Scene& scene, const CycleRun& run, std::vector<Finding>& findings) {
  Handovers(scene, run, findings).look();
}

std::vector<std::string> controller_duties(const Scene& scene) {
  const Cell& cell = scene.cell;
  std::vector<std::string> duties;
  bool vacuum = false;
  for (const auto& step : cell.cycle->steps) {
    if (const auto* pick = std::get_if<PickStep>(&step.action)) {
      const Tcp& tcp = cell.tcps[id_named(cell.tcps, pick->tcp)];
      vacuum = vacuum || !tcp.suction.empty();
      const double planned = tcp.grip_time + evacuation_time(cell, tcp.suction);
      if (!tcp.suction.empty())
        duties.push_back(
            fmt::format("step \"{}\": wait for the vacuum switch of '{}' before the retreat, {:.2f} s by this plan{}; "
                        "not confirmed in "
                        "time: vacuum off, back out the way it came without the part, stop and call for help",
                        step.name, tcp.name, planned, at_most_text(cell, tcp.suction, tcp.grip_time, planned)));
    }
    if (const auto* place = std::get_if<PlaceStep>(&step.action); place && !place->hold.empty()) {
      vacuum = vacuum || holds_by_vacuum(cell, place->hold);
      const Hold& hold = cell.holds[id_named(cell.holds, place->hold)];
      const double planned = hold.hold_time + place->confirm;
      duties.push_back(fmt::format(
          "step \"{}\": let go only once '{}' is confirmed, {:.2f} s by this plan{}; not confirmed in time: keep "
          "the grip, lift the part back out, stop and call for help; the machine must not start",
          step.name, place->hold, planned, at_most_text(cell, hold.suction, hold.hold_time, planned)));
    }
  }
  if (vacuum)
    duties.emplace_back(
        "vacuum lost at any time with a part in hand or in the machine: stop the arm, keep the door shut, stop the "
        "spindle");
  return duties;
}

}  // namespace cellproof
