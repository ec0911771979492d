// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

constexpr std::string_view verbs[] = {"move", "pick", "place", "look", "wait", "shift", "machine", "bring", "remove"};

std::vector<std::string_view> keys_of(std::string_view verb) {
  if (verb == "move") return with_speed_keys({"name", "move", "to", "tcp"});
  if (verb == "pick") return with_speed_keys({"name", "pick", "tcp", "grasp", "approach", "retreat", "unhold"});
  if (verb == "place")
    return with_speed_keys({"name", "place", "tcp", "seat", "at", "approach", "retreat", "hold", "confirm", "drop"});
  if (verb == "look") return with_speed_keys({"name", "look", "to", "targets"});
  if (verb == "wait") return {"name", "wait"};
  if (verb == "shift") return {"name", "shift", "to", "time", "clear"};
  if (verb == "machine") return {"name", "machine", "into", "time", "clear"};
  if (verb == "bring") return {"name", "bring", "seat", "at"};
  return {"name", "remove"};
}

void tell_no_effect(const TomlItem& item, std::string_view why) {
  item.reading().cautions.push_back(
      fmt::format("line {}: {} has no effect: {}; leave it out", item.where().line, item.where().key, why));
}

/// Speeds of a kind of motion that the step does not have.
void tell_idle_speeds(const TomlTable& table, const Action& action) {
  const auto* move = std::get_if<MoveStep>(&action);
  const auto* look = std::get_if<LookStep>(&action);
  if (!move && !look) return;
  const bool has_line = move && move->linear, has_joint_move = (move && !move->linear) || (look && look->to);
  const auto tell = [&](std::initializer_list<std::string_view> keys, std::string_view why) {
    for (const std::string_view key : keys)
      if (const auto item = table.optional(key)) tell_no_effect(*item, why);
  };
  if (!has_joint_move) tell({"joint_speed", "joint_acceleration"}, "the step has no joint move");
  if (!has_line)
    tell({"tool_speed", "tool_acceleration", "tool_turn", "tool_turn_acceleration"}, "the step has no line");
}

/// Where a move goes. `tcp_of_step` is a linear move's own `tcp`, another place to say it for joint values.
JointTarget read_joint_target(const TomlTable& table, bool linear, const std::optional<TomlItem>& tcp_of_step) {
  JointTarget target;
  target.values = read_joint_values(table.required("joints"));
  for (const std::string_view key : {"frame", "at", "near"})
    if (const auto extra = table.optional(key))
      extra->fail("does not go with joints", fmt::format("leave {} out", key));
  const auto tcp = table.has("tcp") ? table.optional("tcp") : tcp_of_step;
  if (tcp) {
    target.tcp = read_use(*tcp, Wanted::tcp);
    if (!linear) tcp->fail("serves only a linear move", "leave tcp out");
  } else if (linear) {
    table.required("tcp");
  }
  return target;
}

PoseTarget read_pose_target(const TomlTable& table, bool linear) {
  PoseTarget target;
  if (!table.has("tcp"))
    table.fail("says neither joints nor tcp", "write joints = [ … ], or tcp, frame and at");
  else
    target.tcp = read_use(table.required("tcp"), Wanted::tcp);
  if (const auto frame = table.optional("frame"))
    target.frame = read_use(*frame, linear ? Wanted::frame_off_arm : Wanted::frame);
  target.at = optional_pose(table, "at");
  if (const auto near = table.optional("near")) {
    target.near = read_joint_values(*near);
    if (linear) tell_no_effect(*near, "a line goes on in the joint solution that it starts in");
  }
  return target;
}

MoveTarget read_move_target(const TomlItem& item, bool linear, const std::optional<TomlItem>& tcp_of_step) {
  const TomlTable table = item.table({"joints", "tcp", "frame", "at", "near"});
  if (table.has("tcp") && tcp_of_step) tcp_of_step->fail("is given twice", "keep the tcp in to");
  if (table.has("joints")) return read_joint_target(table, linear, tcp_of_step);
  if (tcp_of_step) tcp_of_step->fail("belongs into to", "write to = { tcp = …, frame = …, at = … }");
  return read_pose_target(table, linear);
}

MoveStep read_move(const TomlTable& table) {
  MoveStep move;
  const TomlItem way = table.required("move");
  const std::string word = way.text();
  if (word != "joint" && word != "linear")
    way.fail(fmt::format("is \"{}\", which is no kind of move", word), "write \"joint\" or \"linear\"");
  move.linear = word == "linear";
  move.to = read_move_target(table.required("to"), move.linear, table.optional("tcp"));
  return move;
}

/// A length along the seat's +z, an offset, or a list of offsets.
std::vector<Vector3d> read_offsets(const TomlTable& table, std::string_view key) {
  const auto item = table.optional(key);
  if (!item) return {};
  if (!item->is_list()) {
    const double length = item->quantity(Kind::length, Sign::not_negative);
    return length > 0 ? std::vector<Vector3d>{length * Vector3d::UnitZ()} : std::vector<Vector3d>{};
  }
  const auto entries = item->list();
  if (entries.empty() || !entries.front().is_list()) return {read_lengths3(*item)};
  std::vector<Vector3d> offsets;
  for (const TomlItem& entry : entries) offsets.push_back(read_lengths3(entry));
  return offsets;
}

PickStep read_pick(const TomlTable& table) {
  PickStep pick;
  pick.part = read_use(table.required("pick"), Wanted::part);
  pick.tcp = read_use(table.required("tcp"), Wanted::tcp);
  pick.grasp = read_use(table.required("grasp"), Wanted::grasp, pick.part);
  pick.approach = read_offsets(table, "approach");
  pick.retreat = read_offsets(table, "retreat");
  pick.unhold = optional_use(table, "unhold", Wanted::hold);
  return pick;
}

PlaceStep read_place(const TomlTable& table) {
  PlaceStep place;
  place.part = read_use(table.required("place"), Wanted::part);
  place.tcp = optional_use(table, "tcp", Wanted::tcp);
  place.seat = read_use(table.required("seat"), Wanted::seat, place.part);
  place.at = optional_pose(table, "at");
  place.approach = read_offsets(table, "approach");
  place.retreat = read_offsets(table, "retreat");
  place.hold = optional_use(table, "hold", Wanted::hold);
  place.confirm = optional_quantity(table, "confirm", Kind::time, Sign::not_negative, 0);
  if (table.has("confirm") && !table.has("hold"))
    table.optional("confirm")->fail("waits for a hold, and there is none", "add hold, or leave confirm out");
  if (const auto drop = table.optional("drop")) {
    place.drop = drop->quantity(Kind::length, Sign::positive);
    if (table.has("hold")) drop->fail("lets the part fall, but a hold takes it", "keep one of drop and hold");
  }
  return place;
}

LookStep read_look(const TomlTable& table) {
  LookStep look;
  look.camera = read_use(table.required("look"), Wanted::camera);
  if (const auto to = table.optional("to")) look.to = read_move_target(*to, false, std::nullopt);
  look.targets = read_uses(table.required("targets"), Wanted::target);
  return look;
}

ShiftStep read_shift(const TomlTable& table) {
  ShiftStep shift;
  const TomlItem bodies = table.required("shift"), to = table.required("to");
  if (bodies.is_list())
    shift.bodies = read_uses(bodies, Wanted::body_off_arm);
  else
    shift.bodies = {read_use(bodies, Wanted::body_off_arm)};
  if (to.is_list())
    for (const TomlItem& pose : to.list()) shift.to.push_back(read_pose(pose));
  else
    shift.to = {read_pose(to)};
  if (to && shift.to.size() != shift.bodies.size())
    to.fail(fmt::format("has {} poses for {} bodies", shift.to.size(), shift.bodies.size()),
            "give one pose for each body");
  shift.time = table.required("time").quantity(Kind::time, Sign::not_negative);
  shift.clear = optional_use(table, "clear", Wanted::zone);
  return shift;
}

MachineStep read_machine(const TomlTable& table) {
  MachineStep machine;
  machine.part = read_use(table.required("machine"), Wanted::part);
  const TomlItem into = table.required("into");
  machine.into = read_use(into, Wanted::part);
  if (into && machine.part == machine.into) into.fail("is the part itself", "name the part that it becomes");
  machine.time = table.required("time").quantity(Kind::time, Sign::not_negative);
  machine.clear = optional_use(table, "clear", Wanted::zone);
  return machine;
}

BringStep read_bring(const TomlTable& table) {
  BringStep bring;
  bring.part = read_use(table.required("bring"), Wanted::part);
  bring.seat = read_use(table.required("seat"), Wanted::seat, bring.part);
  bring.at = optional_pose(table, "at");
  return bring;
}

Action read_action(std::string_view verb, const TomlTable& table) {
  if (verb == "move") return read_move(table);
  if (verb == "pick") return read_pick(table);
  if (verb == "place") return read_place(table);
  if (verb == "look") return read_look(table);
  if (verb == "wait") return WaitStep{table.required("wait").quantity(Kind::time, Sign::not_negative)};
  if (verb == "shift") return read_shift(table);
  if (verb == "machine") return read_machine(table);
  if (verb == "bring") return read_bring(table);
  return RemoveStep{read_use(table.required("remove"), Wanted::part)};
}

/// The step's one verb; empty after an error.
std::string_view read_verb(const TomlItem& item) {
  std::vector<std::string_view> there;
  if (item.is_table())
    for (const auto& [key, value] : item.entries())
      for (const std::string_view verb : verbs)
        if (verb == key) there.push_back(verb);
  if (there.size() == 1) return there.front();
  if (there.size() > 1)
    item.fail(fmt::format("has both {} and {}", there[0], there[1]), "make two steps of it: each has exactly one verb");
  std::vector<std::string_view> every_key;
  for (const std::string_view verb : verbs)
    for (const std::string_view key : keys_of(verb))
      if (std::find(every_key.begin(), every_key.end(), key) == every_key.end()) every_key.push_back(key);
  item.table(every_key);  // a misspelt verb is the likelier reason
  item.fail("has no verb", fmt::format("give exactly one of {}", fmt::join(verbs, ", ")));
  return {};
}

bool may_override_speeds(const Action& action) {
  return std::holds_alternative<MoveStep>(action) || std::holds_alternative<PickStep>(action) ||
         std::holds_alternative<PlaceStep>(action) || std::holds_alternative<LookStep>(action);
}

}  // namespace

Step read_step(const TomlItem& item, std::size_t number, const SpeedSettings& cycle_speeds) {
  Step step;
  step.origin = item.where();
  step.speeds = cycle_speeds;
  const std::string_view verb = read_verb(item);
  if (verb.empty()) return step;
  const TomlTable table = item.table(keys_of(verb));
  if (table.has("name")) {
    step.name = read_name(table, Sort::step);
  } else {
    step.name = fmt::format("{} {}", verb, number);
    item.reading().names.given.push_back({step.name, Sort::step, step.origin});
  }
  step.action = read_action(verb, table);
  if (may_override_speeds(step.action)) {
    step.speeds = read_speeds(table, cycle_speeds);
    tell_idle_speeds(table, step.action);
  }
  return step;
}

}  // namespace cellproof
