// SPDX-License-Identifier: GPL-3.0-or-later
// Joint torques beside orocos KDL 1.5's recursive Newton–Euler solver, which shares no code with ours.
#include <random>

#include <catch2/catch.hpp>
#include <kdl/chain.hpp>
#include <kdl/chainidsolver_recursive_newton_euler.hpp>

#include "scene/forces/joint_torques.hpp"

using namespace cellproof;

namespace {

struct Numbers {
  std::mt19937 engine{29};
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine); }
  Vector3d vector(double size) { return {between(-size, size), between(-size, size), between(-size, size)}; }
  Joints joints(double size) {
    Joints values;
    for (Eigen::Index j = 0; j < 6; ++j) values[j] = between(-size, size);
    return values;
  }
};

RigidMass any_mass(Numbers& numbers) {
  RigidMass mass;
  mass.kg = numbers.between(0.5, 30);
  mass.com = numbers.vector(200);
  Eigen::Matrix3d spread;
  spread << numbers.vector(80), numbers.vector(80), numbers.vector(80);
  spread = spread * spread.transpose();
  mass.inertia = mass.kg * (spread.trace() * Eigen::Matrix3d::Identity() - spread);
  return mass;
}

/// In metres; a link's inertia about its own centre of mass, in its frame's axes.
KDL::RigidBodyInertia inertia_of(const RigidMass& mass) {
  const Vector3d com = mass.com / 1000;
  const Eigen::Matrix3d i = mass.inertia * 1e-6;
  return KDL::RigidBodyInertia(mass.kg, KDL::Vector(com.x(), com.y(), com.z()),
                               KDL::RotationalInertia(i(0, 0), i(1, 1), i(2, 2), i(0, 1), i(0, 2), i(1, 2)));
}

}  // namespace

TEST_CASE("joint torques agree with KDL's over random arms, masses and motions") {
  Numbers numbers;
  double greatest = 0;
  for (int i = 0; i < 500; ++i) {
    Arm arm;
    std::array<RigidMass, 6> links;
    KDL::Chain chain;
    for (std::size_t j = 0; j < 6; ++j) {
      arm.rows[j] = {numbers.between(-600, 600), numbers.between(-pi, pi), numbers.between(-600, 600),
                     numbers.between(-pi, pi)};
      links[j] = any_mass(numbers);
      const DhRow& row = arm.rows[j];
      chain.addSegment(KDL::Segment(KDL::Joint(KDL::Joint::RotZ),
                                    KDL::Frame::DH(row.a / 1000, row.alpha, row.d / 1000, row.theta),
                                    inertia_of(links[j])));
    }
    const MotionPoint point{numbers.joints(pi), numbers.joints(3), numbers.joints(10)};
    const Vector3d gravity = numbers.vector(10000);
    KDL::JntArray values(6), speeds(6), accelerations(6), torques(6);
    values.data = point.values;
    speeds.data = point.speeds;
    accelerations.data = point.accelerations;
    KDL::ChainIdSolver_RNE solver(chain, KDL::Vector(gravity.x(), gravity.y(), gravity.z()) / 1000);
    REQUIRE(solver.CartToJnt(values, speeds, accelerations, KDL::Wrenches(6), torques) >= 0);
    const Joints ours = joint_torques(arm, links, point, gravity);
    greatest =
        std::max(greatest, (ours - torques.data).cwiseAbs().maxCoeff() / (1 + torques.data.cwiseAbs().maxCoeff()));
  }
  CHECK(greatest < 1e-12);
}

TEST_CASE("with signs and couplings torques do the same work by the controller's values") {
  // derived: the power of all joints does not depend on how they are counted
  Numbers numbers;
  Arm plain;
  std::array<RigidMass, 6> links;
  for (std::size_t j = 0; j < 6; ++j) {
    plain.rows[j] = {numbers.between(-600, 600), numbers.between(-pi, pi), numbers.between(-600, 600), 0};
    links[j] = any_mass(numbers);
  }
  Arm coupled = plain;
  coupled.dh_from_values(2, 1) = -1;
  coupled.dh_from_values(4, 4) = -1;
  const MotionPoint point{numbers.joints(2), numbers.joints(2), numbers.joints(5)};
  const auto& to_dh = coupled.dh_from_values;
  const MotionPoint in_dh{to_dh * point.values, to_dh * point.speeds, to_dh * point.accelerations};
  const Vector3d gravity(0, 0, -9806.65);
  CHECK(joint_torques(coupled, links, point, gravity).dot(point.speeds) ==
        Approx(joint_torques(plain, links, in_dh, gravity).dot(in_dh.speeds)).epsilon(1e-12));
}
