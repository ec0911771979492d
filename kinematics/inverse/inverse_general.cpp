// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/inverse_general.hpp"

#include <cmath>

#include "kinematics/inverse/elimination.hpp"

namespace cellproof {
namespace {

/// A way to cut the loop, with how well the elimination stands there.
struct LoopCut {
  Loop loop;
  Eliminated matrix;
  Opening opening;
};

LoopCut cut_at(const Loop& loop, std::size_t joint) {
  LoopCut cut;
  cut.loop = turned(loop, joint);
  cut.matrix = eliminate(closure_equations(cut.loop));
  cut.opening = best_opening(cut.matrix);
  return cut;
}

void add_candidates(const LoopCut& cut, std::vector<Joints>& all) {
  for (const ThreeAngles& three : singular_angles(cut.matrix, cut.opening)) {
    const auto both = completed(cut.loop, three.third, three.fourth, three.fifth);
    for (std::size_t i = 0; i < 2; ++i) {
      if (i == 1 && both[0] == both[1]) break;
      Joints angles;
      for (std::size_t j = 0; j < 6; ++j) angles[cut.loop.joints[j]] = both[i][j];
      if (angles.allFinite()) all.push_back(angles);
    }
  }
}

/// Adds what the eliminations tell; false if all of them are singular.
bool eliminate_somewhere(const Loop& loop, std::vector<Joints>& all) {
  constexpr double trusted = 1e-6, least = 1e-11;
  bool told = false;
  for (std::size_t joint = 0; joint < 6; ++joint) {
    const LoopCut cut = cut_at(loop, joint);
    if (cut.opening.regularity < least) continue;
    add_candidates(cut, all);
    told = true;
    if (cut.opening.regularity > trusted) break;
  }
  return told;
}

/// The loop with every link a little off, by amounts without pattern.
Loop nudged(const Loop& loop, double size) {
  Loop result = loop;
  double some = 0.2;
  const auto next = [&] { return size * ((some = std::fmod(some * 137.036 + 0.618, 1.0)) - 0.5); };
  for (Pose& link : result.links) {
    const Eigen::AngleAxisd tilt(next(), Vector3d(next(), next(), next()).normalized());
    link = Eigen::Translation3d(next(), next(), next()) * link * tilt;
  }
  return result;
}

}  // namespace

std::vector<Joints> general_candidates(const NormalChain& chain, const Pose& target, const Joints& reference) {
  const Loop loop = closed_loop(chain, target);
  std::vector<Joints> all;
  if (eliminate_somewhere(loop, all)) return all;
  // A loop that closes in a continuum of ways makes every elimination singular. One nearly like it closes in a few
  // ways, near that continuum and near whatever other solution there is.
  all.push_back(reference);
  for (const double size : {1e-7, 1e-5, 1e-3}) eliminate_somewhere(nudged(loop, size), all);
  return all;
}

}  // namespace cellproof
