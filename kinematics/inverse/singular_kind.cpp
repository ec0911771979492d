// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/singular_kind.hpp"

#include <algorithm>

#include <Eigen/SVD>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/arm_layout.hpp"

namespace cellproof {
namespace {

std::vector<int> joints_that_take_part(const Arm& arm, const Joints& values) {
  Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, values));
  jacobian.topRows<3>() /= length_scale(arm);
  const Joints still = Eigen::JacobiSVD<Jacobian>(jacobian, Eigen::ComputeFullV).matrixV().col(5).cwiseAbs();
  std::vector<int> joints;
  for (int j = 0; j < 6; ++j)
    if (still[j] >= 0.1 * still.maxCoeff()) joints.push_back(j + 1);
  return joints;
}

std::string name_of(ArmLayout layout, const std::vector<int>& joints) {
  const auto takes_part = [&](int joint) { return std::find(joints.begin(), joints.end(), joint) != joints.end(); };
  const bool wrist_only = layout == ArmLayout::parallel_trio ? takes_part(6) : joints.front() >= 4;
  if (layout == ArmLayout::other) return "";
  if (layout == ArmLayout::wrist_only) return wrist_only ? "wrist" : "";
  if (takes_part(1)) return "shoulder";
  return wrist_only ? "wrist" : "elbow";
}

}  // namespace

SingularKind singular_kind(const Arm& arm, const Joints& values) {
  SingularKind kind;
  kind.joints = joints_that_take_part(arm, values);
  kind.name = name_of(arm_layout(arm), kind.joints);
  return kind;
}

std::string text_of(const SingularKind& kind) {
  std::string text = kind.name.empty() ? "" : kind.name + ", ";
  text += kind.joints.size() == 1 ? "joint " : "joints ";
  for (std::size_t i = 0; i < kind.joints.size(); ++i) {
    if (i > 0) text += i + 1 == kind.joints.size() ? " and " : ", ";
    text += std::to_string(kind.joints[i]);
  }
  return text;
}

}  // namespace cellproof
