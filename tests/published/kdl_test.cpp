// SPDX-License-Identifier: GPL-3.0-or-later
// Poses and Jacobians beside orocos KDL 1.5, which shares no code with ours.
#include <random>

#include <catch2/catch.hpp>
#include <kdl/chain.hpp>
#include <kdl/chainfksolverpos_recursive.hpp>
#include <kdl/chainjnttojacsolver.hpp>

#include "kinematics/forward.hpp"

using namespace cellproof;

namespace {

struct Numbers {
  std::mt19937 engine{17};
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine); }
};

KDL::Frame frame_of(const Pose& pose) {
  const Eigen::Matrix3d& r = pose.linear();
  const Vector3d& p = pose.translation();
  return {KDL::Rotation(r(0, 0), r(0, 1), r(0, 2), r(1, 0), r(1, 1), r(1, 2), r(2, 0), r(2, 1), r(2, 2)),
          KDL::Vector(p.x(), p.y(), p.z())};
}

Arm any_arm(Numbers& numbers, DhConvention convention) {
  Arm arm;
  arm.convention = convention;
  for (DhRow& row : arm.rows) {
    row = {numbers.between(-1, 1), numbers.between(-pi, pi), numbers.between(-1, 1), numbers.between(-pi, pi)};
  }
  const Vector3d axis(numbers.between(-1, 1), numbers.between(-1, 1), numbers.between(-1, 1));
  arm.flange_in_link6.linear() = Eigen::AngleAxisd(numbers.between(-3, 3), axis.normalized()).toRotationMatrix();
  arm.flange_in_link6.translation() << 0.1, -0.2, 0.3;
  return arm;
}

/// KDL's order of arguments is DH(a, alpha, d, theta).
KDL::Chain standard_chain(const Arm& arm) {
  KDL::Chain chain;
  for (const DhRow& row : arm.rows) {
    chain.addSegment(KDL::Segment(KDL::Joint(KDL::Joint::RotZ), KDL::Frame::DH(row.a, row.alpha, row.d, row.theta)));
  }
  chain.addSegment(KDL::Segment(KDL::Joint(KDL::Joint::None), frame_of(arm.flange_in_link6)));
  return chain;
}

/// A modified row's fixed part, Rx(alpha) Tx(a), stands before its joint, so it goes with the segment before.
KDL::Chain modified_chain(const Arm& arm) {
  KDL::Chain chain;
  const auto before = [](const DhRow& row) {
    return KDL::Frame(KDL::Rotation::RotX(row.alpha)) * KDL::Frame(KDL::Vector(row.a, 0, 0));
  };
  const auto after = [](const DhRow& row) {
    return KDL::Frame(KDL::Rotation::RotZ(row.theta)) * KDL::Frame(KDL::Vector(0, 0, row.d));
  };
  chain.addSegment(KDL::Segment(KDL::Joint(KDL::Joint::None), before(arm.rows[0])));
  for (std::size_t i = 0; i < 6; ++i) {
    const KDL::Frame next = i < 5 ? before(arm.rows[i + 1]) : frame_of(arm.flange_in_link6);
    chain.addSegment(KDL::Segment(KDL::Joint(KDL::Joint::RotZ), after(arm.rows[i]) * next));
  }
  return chain;
}

/// Greatest differences of pose and Jacobian over random arms and joints.
std::pair<double, double> greatest_differences(DhConvention convention) {
  Numbers numbers;
  double pose_difference = 0, jacobian_difference = 0;
  for (int i = 0; i < 5000; ++i) {
    const Arm arm = any_arm(numbers, convention);
    const KDL::Chain chain = convention == DhConvention::standard ? standard_chain(arm) : modified_chain(arm);
    KDL::JntArray joints(6);
    for (int j = 0; j < 6; ++j) joints(static_cast<unsigned>(j)) = numbers.between(-pi, pi);
    const ArmFrames frames = arm_frames(arm, joints.data);
    KDL::Frame flange;
    KDL::ChainFkSolverPos_recursive(chain).JntToCart(joints, flange);
    KDL::Jacobian jacobian(6);
    KDL::ChainJntToJacSolver(chain).JntToJac(joints, jacobian);
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 4; ++column) {
        pose_difference =
            std::max(pose_difference, std::abs(frames.flange_in_base.matrix()(row, column) - flange(row, column)));
      }
    }
    jacobian_difference =
        std::max(jacobian_difference, (flange_jacobian(arm, frames) - jacobian.data).cwiseAbs().maxCoeff());
  }
  return {pose_difference, jacobian_difference};
}

}  // namespace

TEST_CASE("poses and Jacobians of standard tables agree with KDL") {
  const auto [pose, jacobian] = greatest_differences(DhConvention::standard);
  CHECK(pose < 1e-13);
  CHECK(jacobian < 1e-13);
}

TEST_CASE("poses and Jacobians of modified tables agree with KDL") {
  const auto [pose, jacobian] = greatest_differences(DhConvention::modified);
  CHECK(pose < 1e-13);
  CHECK(jacobian < 1e-13);
}
