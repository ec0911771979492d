// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof where: where every link, the flange and each tcp are.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/fixed_text.hpp"
#include "app/json_pose.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "kinematics/entry.hpp"
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
  const Table<FrameId, Pose> world = world_poses(scene, stated_arrangement(scene), joints);
  std::vector<NamedPose> poses;
  const auto add = [&](const std::string& name) { poses.push_back({name, world[scene.frame_named(name)]}); };
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

/// A joint, or a sum of joints, that stands past its limits.
struct PastLimit {
  int joint = 0, sum = 0;  ///< numbers from 1; 0 for what it is not
  double value = 0, min = 0, max = 0;
  double over() const { return std::max(min - value, value - max); }
};

std::vector<PastLimit> past_limits(const Arm& arm, const Joints& values) {
  constexpr double rounding = 1e-9;  // as planned poses are judged
  std::vector<PastLimit> past;
  const auto look = [&](const PastLimit& one) {
    if (one.over() > rounding) past.push_back(one);
  };
  for (int j = 0; j < 6; ++j) {
    const JointLimits& limit = entry(arm.limits, j);
    look({j + 1, 0, values[j], limit.min, limit.max});
  }
  for (std::size_t i = 0; i < arm.sum_limits.size(); ++i) {
    const SumLimit& limit = arm.sum_limits[i];
    look({0, static_cast<int>(i) + 1, limit.coefficients.dot(values), limit.min, limit.max});
  }
  return past;
}

std::string limits_text(const std::vector<PastLimit>& past) {
  std::string text;
  for (const PastLimit& one : past)
    text +=
        fmt::format("{} {} at {:.6g} deg is {:.4g} deg past its limit, {:.6g} to {:.6g} deg: the arm can't stand so\n",
                    one.joint ? "joint" : "sum of joints", one.joint ? one.joint : one.sum, degrees(one.value),
                    degrees(one.over()), degrees(one.min), degrees(one.max));
  return text;
}

Json limits_json(const std::vector<PastLimit>& past) {
  Json list = Json::array();
  for (const PastLimit& one : past)
    list.push_back({{"joint", one.joint ? Json(one.joint) : Json(nullptr)},
                    {"sum", one.sum ? Json(one.sum) : Json(nullptr)},
                    {"value_deg", degrees(one.value)},
                    {"min_deg", degrees(one.min)},
                    {"max_deg", degrees(one.max)},
                    {"over_deg", degrees(one.over())}});
  return list;
}

std::string where_json(const std::vector<NamedPose>& poses, const Jacobian& jacobian,
                       const std::vector<PastLimit>& past) {
  Json json{{"frames", Json::object()}, {"jacobian", Json::array()}, {"past_limits", limits_json(past)}};
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
  const auto past = past_limits(cell->arm.arm, *joints);
  Outputs outputs;
  outputs.add("--json", options.json, where_json(poses, jacobian, past));
  outputs.tell(limits_text(past) + where_text(poses, jacobian));
  return deliver(outputs, exit_pass);
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
