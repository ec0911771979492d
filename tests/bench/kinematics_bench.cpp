// SPDX-License-Identifier: GPL-3.0-or-later
// Goals: all frames of an arm < 60 ns; every solution of a pose, verified, < 3 µs with a closed form, < 150 µs without.
#include <random>
#include <stdexcept>
#include <vector>

#include <benchmark/benchmark.h>
#include <kdl/chain.hpp>
#include <kdl/chainfksolverpos_recursive.hpp>
#include <kdl/chainiksolverpos_lma.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "kinematics/motion/motion.hpp"
#include "kinematics/motion/motion_bounds.hpp"

namespace {

using namespace cellproof;

/// An invented arm with a spherical wrist and a shoulder offset.
Arm spherical_arm() {
  Arm arm;
  arm.rows = {{{150, pi / 2, 450, 0},
               {600, 0, 0, pi / 2},
               {120, pi / 2, 0, 0},
               {0, -pi / 2, 640, 0},
               {0, pi / 2, 0, 0},
               {0, 0, 100, 0}}};
  return arm;
}

/// The same with twists that leave no short cut.
Arm skewed_spherical_arm() {
  Arm arm = spherical_arm();
  arm.rows[0].alpha = 1.4;
  arm.rows[1].alpha = 0.1;
  arm.rows[1].d = 30;
  return arm;
}

/// An invented arm with axes 2, 3 and 4 parallel and an offset wrist.
Arm parallel_arm() {
  Arm arm;
  arm.rows = {{{0, pi / 2, 160, 0},
               {-600, 0, 0, 0},
               {-550, 0, 0, 0},
               {0, pi / 2, 150, 0},
               {0, -pi / 2, 110, 0},
               {0, 0, 100, 0}}};
  return arm;
}

/// An invented arm without three axes that meet or are parallel.
Arm general_arm() {
  Arm arm;
  arm.rows = {{{120, 1.4, 300, 0},
               {450, -0.9, 60, 0.3},
               {200, 1.1, -90, 0},
               {90, -1.3, 380, 0.2},
               {70, 0.8, 110, 0},
               {40, 0.4, 120, 0}}};
  return arm;
}

std::vector<Joints> many_joints() {
  std::mt19937 engine(1);
  std::uniform_real_distribution<double> angle(-pi, pi);
  std::vector<Joints> all(256);
  for (Joints& values : all) values = Joints::NullaryExpr([&] { return angle(engine); });
  return all;
}

void frames(benchmark::State& state) {
  const Arm arm = spherical_arm();
  const auto joints = many_joints();
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(arm_frames(arm, joints[i++ % joints.size()]));
}
BENCHMARK(frames);

/// In metres, as that library's solvers weigh lengths against angles.
KDL::Chain kdl_chain(const Arm& arm) {
  KDL::Chain chain;
  for (const DhRow& row : arm.rows)
    chain.addSegment(
        KDL::Segment(KDL::Joint(KDL::Joint::RotZ), KDL::Frame::DH(row.a / 1000, row.alpha, row.d / 1000, row.theta)));
  return chain;
}

void frames_by_kdl(benchmark::State& state) {
  const KDL::Chain chain = kdl_chain(spherical_arm());
  KDL::ChainFkSolverPos_recursive solver(chain);
  std::vector<KDL::Frame> frames(6);
  std::vector<KDL::JntArray> joints;
  for (const Joints& values : many_joints()) joints.emplace_back(6).data = values;
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(solver.JntToCart(joints[i++ % joints.size()], frames));
}
BENCHMARK(frames_by_kdl);

void every_solution(benchmark::State& state, const Arm& arm) {
  std::vector<Pose> poses;
  for (const Joints& values : many_joints()) poses.push_back(flange_in_base(arm, values));
  std::size_t i = 0, solutions = 0, reached = 0;
  for (auto _ : state) {
    const std::size_t found = inverse(arm, poses[i++ % poses.size()])->all.size();
    solutions += found;
    reached += found > 0;
  }
  state.counters["solutions"] = static_cast<double>(solutions) / static_cast<double>(state.iterations());
  state.counters["reached"] = static_cast<double>(reached) / static_cast<double>(state.iterations());
}
BENCHMARK_CAPTURE(every_solution, spherical, spherical_arm());
BENCHMARK_CAPTURE(every_solution, spherical_skewed, skewed_spherical_arm());
BENCHMARK_CAPTURE(every_solution, parallel, parallel_arm());
BENCHMARK_CAPTURE(every_solution, general, general_arm());

/// One solution of the same poses by the library's damped iteration, from one guess that is off the singular poses. It
/// found one if the pose is reached to 1e-6 m and rad.
void one_solution_by_kdl(benchmark::State& state, const Arm& arm) {
  const KDL::Chain chain = kdl_chain(arm);
  KDL::ChainFkSolverPos_recursive forward(chain);
  KDL::ChainIkSolverPos_LMA solver(chain, 1e-9);
  std::vector<KDL::Frame> poses;
  for (const Joints& values : many_joints()) {
    KDL::JntArray joints(6);
    joints.data = values;
    poses.emplace_back();
    forward.JntToCart(joints, poses.back());
  }
  KDL::JntArray start(6), found(6);
  start.data << 0.3, 0.4, -0.5, 0.6, 0.7, -0.2;
  std::size_t i = 0, reached = 0;
  for (auto _ : state) {
    const KDL::Frame& pose = poses[i++ % poses.size()];
    solver.CartToJnt(start, pose, found);
    KDL::Frame at;
    forward.JntToCart(found, at);
    const KDL::Twist off = KDL::diff(pose, at);
    reached += off.vel.Norm() < 1e-6 && off.rot.Norm() < 1e-6;
  }
  state.counters["reached"] = static_cast<double>(reached) / static_cast<double>(state.iterations());
}
BENCHMARK_CAPTURE(one_solution_by_kdl, spherical, spherical_arm());
BENCHMARK_CAPTURE(one_solution_by_kdl, parallel, parallel_arm());
BENCHMARK_CAPTURE(one_solution_by_kdl, general, general_arm());

LineRequest line_request(const Arm& arm) {
  LineRequest request;
  request.start << 0.3, 0.2, -0.4, 0.5, 0.9, 0.1;
  request.target.start_in_base = flange_in_base(arm, request.start);
  request.target.end_in_base = request.target.start_in_base;
  request.target.end_in_base.translation() += Vector3d(-100, 200, -150);
  request.reach_mm << 1500, 1500, 900, 300, 300, 200;
  return request;
}

void line(benchmark::State& state) {
  const Arm arm = spherical_arm();
  const LineRequest request = line_request(arm);
  std::size_t knots = 0;
  for (auto _ : state) {
    const auto path = follow_line(arm, request);
    if (!path) throw std::logic_error("the line ends early");
    knots = path->knots().size();
  }
  state.counters["knots"] = static_cast<double>(knots);
}
BENCHMARK(line);

void line_timing(benchmark::State& state) {
  Arm arm = spherical_arm();
  for (JointLimits& limit : arm.limits) limit = {-pi, pi, radians(90), radians(200)};
  const Path path = follow_line(arm, line_request(arm)).value();
  for (auto _ : state) benchmark::DoNotOptimize(linear_motion(arm, path, {}));
}
BENCHMARK(line_timing);

void bound(benchmark::State& state) {
  const Arm arm = spherical_arm();
  const ArmFrames frames_now = arm_frames(arm, many_joints()[0]);
  CarriedHull hull;
  for (std::size_t i = 0; i < 8; ++i)
    hull.corners_in_link[i] = Vector3d(i & 1 ? 50 : -50, i & 2 ? 50 : -50, i & 4 ? 200 : 0);
  for (auto _ : state) benchmark::DoNotOptimize(motion_bound(arm, frames_now, hull, Joints::Constant(0.1)));
}
BENCHMARK(bound);

}  // namespace
