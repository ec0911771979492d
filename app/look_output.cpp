// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/look_output.hpp"

#include <fmt/format.h>

#include "app/json_pose.hpp"
#include "scene/cell/pose_text.hpp"

namespace cellproof {

namespace {

/// The step's `to`, as the file would have it.
std::string target_text(const Cell& cell, const MoveTarget& to) {
  if (const auto* joints = std::get_if<JointTarget>(&to))
    return fmt::format("to = {{ joints = {} }}", joints_text(joints->values, cell.units));
  const auto& pose = std::get<PoseTarget>(to);
  std::string text = fmt::format("to = {{ tcp = \"{}\", frame = \"{}\", at = {}", pose.tcp, pose.frame,
                                 pose_text(pose.at, cell.units));
  if (pose.near) text += fmt::format(", near = {}", joints_text(*pose.near, cell.units));
  return text + " }";
}

std::string where_text(const OtherLooks& looks) {
  if (looks.run.empty()) return {};
  return fmt::format(" at {}{}", looks.run, looks.others.empty() ? "" : fmt::format(" (others: {})", looks.others));
}

std::string passing_text(const Cell& cell, const OtherLooks& looks, std::size_t number) {
  const OtherLook& other = looks.passing[number];
  std::string text =
      fmt::format("  {}  {}\n     sees {:.1f} % everywhere, cycle {:+.2f} s", number + 1, change_text(other.change),
                  100 * other.visible, other.cycle_time_s - looks.cycle_time_s);
  if (other.still_fails > 0)
    text += fmt::format("; {} other finding{} of the cell stay{}", other.still_fails, other.still_fails == 1 ? "" : "s",
                        other.still_fails == 1 ? "s" : "");
  return text + fmt::format("\n     {}\n", target_text(cell, other.to));
}

std::string text_of(const Cell& cell, const OtherLooks& looks) {
  std::string text = fmt::format("'{}' at \"{}\": sees {:.1f} % of its targets as stated{}\n", looks.camera, looks.step,
                                 100 * looks.visible, where_text(looks));
  text += fmt::format("{} poses about it tried: {} within reach, {} see every target, {} proved with the whole cycle\n",
                      looks.tried, looks.in_reach, looks.seeing, looks.proved);
  if (looks.passing.empty())
    return text + "None serves. Cut what stands in the view (relief), move the camera, or begin from another pose.\n";
  for (std::size_t i = 0; i < looks.passing.size(); ++i) text += passing_text(cell, looks, i);
  return text;
}

Json target_json(const MoveTarget& to) {
  if (const auto* joints = std::get_if<JointTarget>(&to)) return {{"joints_deg", json_joints(joints->values)}};
  const auto& pose = std::get<PoseTarget>(to);
  return {{"tcp", pose.tcp}, {"frame", pose.frame}, {"at", json_pose(pose.at)}};
}

Json json_of(const OtherLooks& looks) {
  Json passing = Json::array();
  for (const OtherLook& other : looks.passing)
    passing.push_back({{"back_mm", other.change.back_mm},
                       {"swing_deg", degrees(other.change.swing)},
                       {"towards_deg", degrees(other.change.towards)},
                       {"turn_deg", degrees(other.change.turn)},
                       {"to", target_json(other.to)},
                       {"visible", other.visible},
                       {"cycle_time_s", other.cycle_time_s},
                       {"still_fails", other.still_fails}});
  Json entry{{"camera", looks.camera}, {"step", looks.step}};
  if (!looks.run.empty()) entry["run"] = looks.run;
  entry.update(Json{{"visible", looks.visible},
                    {"cycle_time_s", looks.cycle_time_s},
                    {"tried", looks.tried},
                    {"in_reach", looks.in_reach},
                    {"seeing", looks.seeing},
                    {"proved", looks.proved},
                    {"passing", passing}});
  return entry;
}

}  // namespace

std::string looks_text(const Cell& cell, const std::vector<OtherLooks>& looks) {
  std::string text = fmt::format("{}, other poses to look from\n", cell.name);
  for (const OtherLooks& one : looks) text += fmt::format("\n{}", text_of(cell, one));
  if (looks.empty()) text += "Every look sees its targets; with --step a look is tried all the same.\n";
  return text;
}

std::string looks_json(const Cell& cell, const std::vector<OtherLooks>& looks) {
  Json json{{"format", 1}, {"cell", cell.name}, {"looks", Json::array()}};
  for (const OtherLooks& one : looks) json["looks"].push_back(json_of(one));
  return json_text(json);
}

}  // namespace cellproof
