// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/wrist_measure.hpp"

#include <algorithm>
#include <cmath>

#include "scene/forces/holder.hpp"
#include "scene/forces/joint_torques.hpp"

namespace cellproof {

namespace {

/// End effector and held part in the flange's frame.
MassSum carried(const Scene& scene, const BodyMasses& masses, const Stretch& stretch) {
  MassSum sum = end_effector_mass(scene, masses, *stretch.arrangement);
  if (!stretch.held_part) return sum;
  MassSum part = part_mass(scene, masses, *stretch.arrangement, stretch.held_part);
  const FrameId frame = scene.frame_of(stretch.held_part);
  if (part.known())
    part.mass =
        placed_mass(part.mass, frame_seen_from(scene, *stretch.arrangement, Joints::Zero(), frame, scene.flange_frame));
  return sum_of(sum, part);
}

/// Instants from the start to the end, no joint turning more than a degree between them, both sides of each jump.
std::vector<double> instants(const Motion& motion) {
  std::vector<double> times;
  const auto switches = motion.law.switches();
  for (std::size_t i = 1; i < switches.size(); ++i) {
    const double from = switches[i - 1], to = switches[i], inside = 1e-9 * (to - from);
    const double turned = motion.path.travel(motion.law.at(from).s, motion.law.at(to).s).maxCoeff();
    const int count = std::clamp(static_cast<int>(std::ceil(turned / radians(1))), 1, 720);
    for (int j = 0; j <= count; ++j)
      times.push_back(std::clamp(from + (to - from) * j / count, from + inside, to - inside));
  }
  if (times.empty()) times.push_back(0);
  return times;
}

}  // namespace

std::optional<WristMeasure> measure_wrist(const Scene& scene, const BodyMasses& masses, const Stretch& stretch) {
  const MassSum sum = carried(scene, masses, stretch);
  if (!sum.known() || sum.mass.kg == 0) return std::nullopt;
  WristMeasure measure;
  measure.mass_kg = sum.mass.kg;
  measure.offset_mm = sum.mass.com.norm();
  for (const double time : instants(stretch.motion)) {
    const Joints values = stretch.motion.path.on_chain(stretch.motion.law.at(time).s);
    measure.load = greater_of(measure.load, wrist_load(scene.cell.arm.arm, values, sum.mass));
  }
  return measure;
}

std::optional<TorqueMeasure> measure_torques(const Scene& scene, const BodyMasses& masses, const Stretch& stretch) {
  const Arm& arm = scene.cell.arm.arm;
  const MassSum load = carried(scene, masses, stretch);
  auto sums = link_masses(scene, masses, *stretch.arrangement);
  if (!load.known()) return std::nullopt;
  std::array<RigidMass, 6> links;
  for (std::size_t i = 0; i < 6; ++i) {
    if (!sums[i].known() || sums[i].mass.inertia.hasNaN()) return std::nullopt;
    links[i] = sums[i].mass;
  }
  links[5] = mass_together(links[5], placed_mass(load.mass, arm.flange_in_link6));
  if (links[5].inertia.hasNaN()) return std::nullopt;
  const Eigen::Matrix3d base = world_pose(scene, *stretch.arrangement, ArmFrames{}, scene.base_frame).linear();
  const Vector3d gravity = base.transpose() * Vector3d(0, 0, -standard_gravity);
  TorqueMeasure measure;
  for (const double time : instants(stretch.motion)) {
    const Joints torques = joint_torques(arm, links, motion_at(arm, stretch.motion, time), gravity).cwiseAbs();
    for (Eigen::Index j = 0; j < 6; ++j)
      if (torques[j] > measure.greatest_nm[j]) {
        measure.greatest_nm[j] = torques[j];
        measure.time_s[j] = stretch.start_s + time;
      }
  }
  return measure;
}

}  // namespace cellproof
