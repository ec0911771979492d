// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof reach: every joint solution of a pose.
#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <stdexcept>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/json_pose.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "kinematics/inverse/configuration_name.hpp"
#include "kinematics/inverse/shortfall.hpp"
#include "kinematics/inverse/stances.hpp"
#include "kinematics/roll_pitch_yaw.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/scene.hpp"

namespace cellproof {

namespace {

struct ReachOptions {
  std::string cell, tcp, frame = "world", xyz, turn = "0,0,0", json;
};

struct Answer {
  Solutions solutions;
  const Arm& arm;
  std::optional<Shortfall> why_not;  ///< where no solution is within limits
};

bool is_within(const Arm& arm, const Solution& solution) {
  return !whole_turns(arm, solution.values).empty();
}

std::string stop_word(ReachStop stop) {
  switch (stop) {
    case ReachStop::outside_reach:
      return "outside reach";
    case ReachStop::dead_zone:
      return "dead zone";
    case ReachStop::turn:
      return "turn";
    case ReachStop::limit:
      return "limit";
    case ReachStop::nothing:
      break;
  }
  throw std::logic_error("a pose that nothing stops the arm from is called unreachable");
}

Json shortfall_json(const std::optional<Shortfall>& why_not) {
  if (!why_not) return nullptr;
  const NearestPose& nearest = why_not->nearest;
  Json json{{"stopped_by", stop_word(why_not->stop)},
            {"joint", nullptr},
            {"over_limit_deg", nullptr},
            {"position_mm", nearest.position_mm},
            {"angle_deg", degrees(nearest.angle)},
            {"joints_deg", json_joints(nearest.values)},
            {"tool_in_base", json_pose(nearest.tool_in_base)}};
  if (why_not->joint > 0) json["joint"] = why_not->joint;
  if (std::isfinite(why_not->over_limit)) json["over_limit_deg"] = degrees(why_not->over_limit);
  return json;
}

std::string reach_json(const Answer& answer) {
  Json json{{"solutions", Json::array()},
            {"singular", answer.solutions.singular},
            {"shortfall", shortfall_json(answer.why_not)}};
  for (const auto& solution : answer.solutions.all) {
    Json entry{{"joints_deg", json_joints(solution.values)},
               {"configuration", nullptr},
               {"within_limits", is_within(answer.arm, solution)},
               {"manipulability", manipulability(flange_jacobian(answer.arm, arm_frames(answer.arm, solution.values)))},
               {"position_error_mm", solution.position_error_mm},
               {"angle_error_deg", degrees(solution.angle_error)}};
    if (const auto name = configuration_name(answer.arm, solution.values); !name.empty()) entry["configuration"] = name;
    if (solution.double_root) entry["double"] = true;
    json["solutions"].push_back(entry);
  }
  return json_text(json);
}

std::string reach_text(const Answer& answer) {
  const std::string why_not = answer.why_not ? described(*answer.why_not) + "\n" : "";
  if (answer.solutions.all.empty()) return "no joint solution reaches this pose: " + why_not;
  std::string text = fmt::format("{:>9} {:>9} {:>9} {:>9} {:>9} {:>9}   {:<14} {:<15} {}\n", "J1 deg", "J2", "J3", "J4",
                                 "J5", "J6", "limits", "manipulability", "configuration");
  for (const auto& solution : answer.solutions.all) {
    for (int j = 0; j < 6; ++j) text += fmt::format("{:>9.3f} ", degrees(solution.values[j]));
    text += fmt::format("  {:<14} {:<15.5f} {}{}\n", is_within(answer.arm, solution) ? "within" : "outside",
                        manipulability(flange_jacobian(answer.arm, arm_frames(answer.arm, solution.values))),
                        configuration_name(answer.arm, solution.values),
                        solution.double_root ? "  two solutions meet here" : "");
  }
  if (answer.solutions.singular)
    text += "singular: joints turn against each other without moving the tool; the lines above are representatives\n";
  if (answer.why_not) text += "no solution is within the limits: " + why_not;
  return text;
}

/// Why no solution is within limits; if the search for the nearest pose lands on the pose itself, that is one.
void explain(Answer& answer, const ReachRequest& request) {
  const Shortfall why_not = shortfall(answer.arm, request);
  if (why_not.stop == ReachStop::nothing)
    answer.solutions.all.push_back(
        solution_at(answer.arm, request.tool_in_base * request.tool_in_flange.inverse(), why_not.nearest.values));
  else
    answer.why_not = why_not;
}

/// The frame must not ride on the arm: its place would depend on the answer.
bool rides_on_arm(const Scene& scene, FrameId frame) {
  return frame != scene.base_frame && rides_on(stated_arrangement(scene), frame, scene.base_frame);
}

int reach(const ReachOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--json", options.json}}); !trouble.empty())
    return refuse(trouble);
  const auto xyz = lengths_of_option(options.xyz);
  if (!xyz) return refuse("--xyz: " + xyz.error());
  const auto turn = angles_of_option(options.turn);
  if (!turn) return refuse("--turn: " + turn.error());
  const Scene scene = build_frames(*cell);
  const FrameId tcp = scene.frame_named(options.tcp), frame = scene.frame_named(options.frame);
  const bool is_tcp =
      options.tcp == "flange" ||
      std::any_of(cell->tcps.begin(), cell->tcps.end(), [&](const Tcp& entry) { return entry.name == options.tcp; });
  if (!is_tcp)
    return refuse(fmt::format("--tcp: there is no tcp '{}' in {}; name one of its [[tcp]] tables, or flange",
                              options.tcp, options.cell));
  if (!frame)
    return refuse(fmt::format("--frame: there is no frame '{}' in {}; name a body, seat, part or world", options.frame,
                              options.cell));
  if (rides_on_arm(scene, frame))
    return refuse(fmt::format("--frame: '{}' rides on the arm; name a frame that stands still", options.frame));

  const auto world = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  const auto at = [&](FrameId id) { return world[id]; };
  Pose goal = Pose::Identity();
  goal.linear() = turned(*turn);
  goal.translation() = *xyz;
  const Pose flange_in_tcp = at(tcp).inverse() * at(scene.flange_frame);
  const Arm& arm = cell->arm.arm;
  const ReachRequest request{flange_in_tcp.inverse(), at(scene.base_frame).inverse() * at(frame) * goal};
  auto solutions = stances(arm, request.tool_in_base * flange_in_tcp, {});
  if (!solutions)
    return refuse(fmt::format("{}:{}: arm: {}; give joint values in its place", options.cell, cell->arm.origin.line,
                              solutions.error()));
  Answer answer{std::move(*solutions), arm, std::nullopt};
  const auto& all = answer.solutions.all;
  if (std::none_of(all.begin(), all.end(), [&](const Solution& solution) { return is_within(arm, solution); }))
    explain(answer, request);
  Outputs outputs;
  outputs.add("--json", options.json, reach_json(answer));
  outputs.tell(reach_text(answer));
  return deliver(outputs, exit_pass);
}

}  // namespace

void add_reach(CommandLine& program) {
  auto options = std::make_shared<ReachOptions>();
  Command command = program.command("reach", "every joint solution of a pose of a tcp in a frame");
  command.word("CELL", options->cell, "the cell file");
  command.option("--tcp", options->tcp, "the tcp that is to reach the pose, or flange").required();
  command.option("--frame", options->frame, "the frame that the pose is given in (default: world)");
  command.option("--xyz", options->xyz, "position, mm unless it carries a unit").required();
  command.option("--turn", options->turn,
                 "roll, pitch, yaw about fixed axes, degrees unless they carry a unit (default: 0,0,0)");
  command.option("--json", options->json, "write the answer as JSON to this file; - is standard output");
  command.closing(
      "Example: cellproof reach mycell.toml --tcp cups --frame \"fixture seat\" --xyz=0,0,50 --turn=180,0,0");
  command.runs([options] { return reach(*options); });
}

}  // namespace cellproof
