// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/poses_output.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "app/csv_field.hpp"
#include "app/fixed_text.hpp"
#include "app/report_text.hpp"
#include "checks/figures.hpp"
#include "kinematics/roll_pitch_yaw.hpp"

namespace cellproof {

namespace {

bool same_place(const TargetPose& a, const TargetPose& b) {
  constexpr double rounding = 1e-12;
  return a.step == b.step && a.kind == b.kind && a.tcp == b.tcp &&
         (a.joints - b.joints).cwiseAbs().maxCoeff() < rounding;
}

bool same_poses(const RunPoses& a, const RunPoses& b) {
  return std::equal(a.poses.begin(), a.poses.end(), b.poses.begin(), b.poses.end(), same_place);
}

std::string tool_name(const Scene& scene, TcpId tcp) {
  return !tcp ? "flange" : scene.cell.tcps[tcp].name;
}

Pose tool_in_flange(const Scene& scene, const Tcp& tcp) {
  const Table<FrameId, Pose> world = world_poses(scene, stated_arrangement(scene), scene.cell.cycle->start);
  const auto in_world = [&](const std::string& name) { return world[scene.frame_named(name)]; };
  return in_world("flange").inverse() * in_world(tcp.name);
}

/// x, y, z, roll, pitch, yaw: mm and deg.
std::array<std::string, 6> place_texts(const Pose& pose, int decimals_of_mm, int decimals_of_deg) {
  const Vector3d at = pose.translation(), turn = roll_pitch_yaw(pose.linear()) * (180 / pi);
  return {fixed_text(at.x(), decimals_of_mm),    fixed_text(at.y(), decimals_of_mm),
          fixed_text(at.z(), decimals_of_mm),    fixed_turn_text(turn.x(), decimals_of_deg),
          fixed_text(turn.y(), decimals_of_deg), fixed_turn_text(turn.z(), decimals_of_deg)};
}

std::string place_text(const Pose& pose) {
  const auto [x, y, z, roll, pitch, yaw] = place_texts(pose, 3, 3);
  return fmt::format("{:>9} {:>9} {:>9}  {:>8} {:>8} {:>8}", x, y, z, roll, pitch, yaw);
}

constexpr const char* place_head = "     x mm      y mm      z mm  roll deg pitch deg  yaw deg";

std::string tools_text(const Scene& scene) {
  if (scene.cell.tcps.empty()) return "";
  std::string text = fmt::format("TOOLS, on the flange\n  {:<26} {}\n", "tool centre point", place_head);
  for (const Tcp& tcp : scene.cell.tcps)
    text += fmt::format("  {:<26} {}\n", printable(tcp.name), place_text(tool_in_flange(scene, tcp)));
  return text + "\n";
}

/// What is done at a pose, in order: "hold, release".
std::string deeds_text(const TargetPose& pose, std::string_view between) {
  std::string text;
  for (const StretchKind kind : pose.then) text += fmt::format("{}{}", text.empty() ? "" : between, kind_name(kind));
  return text;
}

std::string pose_line(const Scene& scene, const TargetPose& pose) {
  std::string joints;
  for (int j = 0; j < 6; ++j) joints += fmt::format(" {:>9}", fixed_text(degrees(pose.joints[j]), 3));
  return fmt::format("  {:<26} {:<6}{}\n  {:<26} {:<6} {}{}\n", printable(pose.step),
                     pose.kind ? kind_name(*pose.kind) : "", joints, "  " + printable(tool_name(scene, pose.tcp)),
                     "in base", place_text(pose.tool_in_base),
                     pose.then.empty() ? "" : "  then " + deeds_text(pose, ", "));
}

/// A configuration is told where it changes.
std::string lines_of(const Scene& scene, const std::vector<TargetPose>& poses) {
  std::string text, configuration;
  for (const TargetPose& pose : poses) {
    if (pose.configuration != configuration) text += fmt::format("  -- {}\n", pose.configuration);
    configuration = pose.configuration;
    text += pose_line(scene, pose);
  }
  return text;
}

std::string title_of(const RunPoses& run) {
  std::string title = "POSES";
  if (!run.run.empty()) title += ", " + printable(run.run);
  if (!run.others.empty()) title += ", other seats: " + printable(run.others);
  if (!run.stops_before.empty())
    title += fmt::format(", up to \"{}\", which can't be run", printable(run.stops_before));
  return title;
}

/// What of a run is not as in the first.
std::vector<TargetPose> changes(const RunPoses& first, const RunPoses& run) {
  std::vector<TargetPose> changed;
  for (std::size_t i = 0; i < run.poses.size(); ++i)
    if (i >= first.poses.size() || !same_place(first.poses[i], run.poses[i])) changed.push_back(run.poses[i]);
  return changed;
}

std::string place_fields(const Pose& pose) {
  Eigen::Quaterniond quat(pose.linear());
  if (quat.w() < 0) quat.coeffs() *= -1;
  std::string fields;
  for (const std::string& text : place_texts(pose, 4, 5)) fields += fmt::format("{},", text);
  return fields + fmt::format("{},{},{},{}", fixed_text(quat.w(), 8), fixed_text(quat.x(), 8), fixed_text(quat.y(), 8),
                              fixed_text(quat.z(), 8));
}

}  // namespace

std::vector<RunPoses> run_poses(const Proof& proof) {
  std::vector<RunPoses> all;
  for (const CycleRun& run : proof.cycle->runs) {
    RunPoses poses{run.name, others_told(proof.scene->cell, run), run.failure ? run.failure->step : "",
                   target_poses(*proof.scene, run)};
    const bool known = std::any_of(all.begin(), all.end(), [&](const RunPoses& earlier) {
      return earlier.run == poses.run && same_poses(earlier, poses);
    });
    if (!known) all.push_back(std::move(poses));
  }
  // A filling is told only where it makes a difference.
  for (RunPoses& run : all)
    if (std::count_if(all.begin(), all.end(), [&](const RunPoses& other) { return other.run == run.run; }) == 1)
      run.others.clear();
  return all;
}

std::string poses_text(const Proof& proof, const std::vector<RunPoses>& runs) {
  const Scene& scene = *proof.scene;
  std::string text = tools_text(scene);
  for (std::size_t i = 0; i < runs.size(); ++i) {
    text += title_of(runs[i]);
    text += i == 0 ? fmt::format("\n  {:<26} {:<6}  joints 1 to 6, deg\n  {:<26} {:<6} {}\n", "step", "move",
                                 "  tool centre point", "", place_head)
                   : fmt::format(": what is not as in {}\n", printable(runs[0].run));
    text += lines_of(scene, i == 0 ? runs[i].poses : changes(runs[0], runs[i])) + "\n";
  }
  return text;
}

std::string poses_csv(const Proof& proof, const std::vector<RunPoses>& runs) {
  const Scene& scene = *proof.scene;
  std::string text =
      "run,others,step,move,j1_deg,j2_deg,j3_deg,j4_deg,j5_deg,j6_deg,tool,in,x_mm,y_mm,z_mm,roll_deg,pitch_deg,"
      "yaw_deg,qw,qx,qy,qz,configuration,then\r\n";
  for (const Tcp& tcp : scene.cell.tcps)
    text +=
        fmt::format(",,,tool,,,,,,,{},flange,{},,\r\n", csv_field(tcp.name), place_fields(tool_in_flange(scene, tcp)));
  for (const RunPoses& run : runs)
    for (const TargetPose& pose : run.poses) {
      text += fmt::format("{},{},{},{}", csv_field(run.run), csv_field(run.others), csv_field(pose.step),
                          pose.kind ? kind_name(*pose.kind) : "start");
      for (int j = 0; j < 6; ++j) text += fmt::format(",{}", fixed_text(degrees(pose.joints[j]), 6));
      text += fmt::format(",{},base,{},{},{}\r\n", csv_field(tool_name(scene, pose.tcp)),
                          place_fields(pose.tool_in_base), csv_field(pose.configuration), deeds_text(pose, " "));
    }
  return text;
}

}  // namespace cellproof
