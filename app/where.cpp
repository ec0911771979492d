// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof where: where every link, the flange and each tcp are.
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/fixed_text.hpp"
#include "app/json_pose.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/whole_file.hpp"
#include "kinematics/roll_pitch_yaw.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/scene.hpp"

namespace cellproof {

namespace {

struct WhereOptions {
  std::string cell, joints, json;
};

struct NamedPose {
  std::string name;
  Pose in_world;
};

std::vector<NamedPose> poses_of(const Scene& scene, const Joints& joints) {
  const std::vector<Pose> world = world_poses(scene, stated_arrangement(scene), joints);
  std::vector<NamedPose> poses;
  const auto add = [&](const std::string& name) {
    poses.push_back({name, world[static_cast<std::size_t>(scene.frame_named(name))]});
  };
  for (int link = 1; link <= 6; ++link) add(fmt::format("link{}", link));
  add("flange");
  for (const auto& tcp : scene.cell.tcps) add(tcp.name);
  return poses;
}

/// The flange's Jacobian in world axes.
Jacobian world_jacobian(const Scene& scene, const Joints& joints) {
  const Arm& arm = scene.cell.arm.arm;
  const ArmFrames frames = arm_frames(arm, joints);
  const Eigen::Matrix3d base = world_pose(scene, stated_arrangement(scene), frames, scene.base_frame).linear();
  Jacobian jacobian = flange_jacobian(arm, frames);
  jacobian.topRows<3>() = (base * jacobian.topRows<3>()).eval();
  jacobian.bottomRows<3>() = (base * jacobian.bottomRows<3>()).eval();
  return jacobian;
}

std::string where_json(const std::vector<NamedPose>& poses, const Jacobian& jacobian) {
  Json json{{"frames", Json::object()}, {"jacobian", Json::array()}};
  for (const auto& pose : poses) json["frames"][pose.name] = json_pose(pose.in_world);
  for (int row = 0; row < 6; ++row) {
    Json line = Json::array();
    for (int column = 0; column < 6; ++column) line.push_back(jacobian(row, column));
    json["jacobian"].push_back(line);
  }
  return json_text(json);
}

std::string where_text(const std::vector<NamedPose>& poses, const Jacobian& jacobian) {
  std::string text = fmt::format("{:<20} {:>10} {:>10} {:>10}   {:>9} {:>9} {:>9}\n", "in world", "x mm", "y mm",
                                 "z mm", "roll deg", "pitch deg", "yaw deg");
  for (const auto& pose : poses) {
    const Vector3d at = pose.in_world.translation(), turn = roll_pitch_yaw(pose.in_world.linear()) * (180 / pi);
    text += fmt::format("{:<20} {:>10} {:>10} {:>10}   {:>9} {:>9} {:>9}\n", pose.name, fixed_text(at.x(), 3),
                        fixed_text(at.y(), 3), fixed_text(at.z(), 3), fixed_turn_text(turn.x(), 3),
                        fixed_text(turn.y(), 3), fixed_turn_text(turn.z(), 3));
  }
  return text + fmt::format("manipulability {:.6f} (lengths in metres)\n", manipulability(jacobian));
}

int where(const WhereOptions& options) {
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--json", options.json}}); !trouble.empty())
    return refuse(trouble);
  const auto joints = joints_of_option(options.joints);
  if (!joints) return refuse("--joints: " + joints.error());
  Cell without_models = *cell;  // frames need no meshes
  const Scene scene = build_frames(without_models);
  const auto poses = poses_of(scene, *joints);
  const Jacobian jacobian = world_jacobian(scene, *joints);
  if (!options.json.empty())
    if (const auto written = write_whole(options.json, where_json(poses, jacobian)); !written)
      return refuse("--json: " + written.error());
  if (options.json != "-") put(where_text(poses, jacobian));
  return exit_pass;
}

}  // namespace

void add_where(CommandLine& program) {
  auto options = std::make_shared<WhereOptions>();
  Command command = program.command("where", "where every link, the flange and each tcp are at given joint values");
  command.word("CELL", options->cell, "the cell file");
  command.option("--joints", options->joints, "six joint values, degrees unless they carry a unit").required();
  command.option("--json", options->json, "write the answer as JSON to this file; - is standard output");
  command.closing("Example: cellproof where mycell.toml --joints=-10,20,30,0,45,0");
  command.runs([options] { return where(*options); });
}

}  // namespace cellproof
