// SPDX-License-Identifier: GPL-3.0-or-later
// How many solutions there are, against Newton's iteration from so many starts that nothing new turns up: an oracle
// that shares no code with the product, its forward kinematics included.
#include <array>
#include <cmath>
#include <cstdlib>
#include <random>
#include <vector>

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "kinematics/inverse/inverse.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;

/// The arm as the oracle sees it: standard DH, lengths over `length`.
struct Table {
  std::array<double, 6> a{}, alpha{}, d{}, theta{};
};

struct Place {
  Eigen::Matrix3d turn = Eigen::Matrix3d::Identity();
  Eigen::Vector3d at = Eigen::Vector3d::Zero();
  Eigen::Matrix<double, 6, 6> slopes;
};

Place place_of(const Table& table, const Vector6& q) {
  Place place;
  std::array<Eigen::Vector3d, 6> axis, origin;
  for (std::size_t i = 0; i < 6; ++i) {
    axis[i] = place.turn.col(2);
    origin[i] = place.at;
    const double angle = q[static_cast<Eigen::Index>(i)] + table.theta[i];
    const double s = std::sin(angle), c = std::cos(angle), sa = std::sin(table.alpha[i]), ca = std::cos(table.alpha[i]);
    Eigen::Matrix3d step;
    step << c, -s * ca, s * sa, s, c * ca, -c * sa, 0, sa, ca;
    place.at += place.turn * Eigen::Vector3d(table.a[i] * c, table.a[i] * s, table.d[i]);
    place.turn = place.turn * step;
  }
  for (std::size_t i = 0; i < 6; ++i)
    place.slopes.col(static_cast<Eigen::Index>(i)) << axis[i].cross(place.at - origin[i]), axis[i];
  return place;
}

Vector6 gap_between(const Place& from, const Place& to) {
  Vector6 gap;
  const Eigen::AngleAxisd turn(to.turn * from.turn.transpose());
  gap << to.at - from.at, turn.angle() * turn.axis();
  return gap;
}

double apart(const Vector6& a, const Vector6& b) {
  double most = 0;
  for (int j = 0; j < 6; ++j) most = std::max(most, std::abs(std::remainder(a[j] - b[j], 2 * M_PI)));
  return most;
}

bool found_from(const Table& table, const Place& goal, Vector6& q) {
  for (int round = 0; round < 40; ++round) {
    const Place here = place_of(table, q);
    const Vector6 gap = gap_between(here, goal);
    if (gap.norm() < 1e-11) return true;
    Vector6 step = here.slopes.partialPivLu().solve(gap);
    if (!step.allFinite()) return false;
    const double greatest = step.cwiseAbs().maxCoeff();
    if (greatest > 1) step /= greatest;
    q += step;
  }
  return false;
}

/// Goes on until 400 starts in a row bring nothing new, or, while fewer than `claimed` are known, until 20,000 do.
std::vector<Vector6> saturated(const Table& table, const Place& goal, std::size_t claimed, std::mt19937& engine) {
  std::uniform_real_distribution<double> angle(-M_PI, M_PI);
  std::vector<Vector6> known;
  for (int idle = 0; idle < (known.size() < claimed ? 20000 : 400); ++idle) {
    Vector6 q = Vector6::NullaryExpr([&] { return angle(engine); });
    if (!found_from(table, goal, q)) continue;
    const bool old = std::any_of(known.begin(), known.end(), [&](const Vector6& k) { return apart(k, q) < 1e-5; });
    if (old) continue;
    known.push_back(q);
    idle = 0;
  }
  return known;
}

Arm plain(Arm arm) {
  arm.convention = DhConvention::standard;
  arm.flange_in_link6 = Pose::Identity();
  arm.dh_from_values.setIdentity();
  const double length = length_scale(arm);
  for (DhRow& row : arm.rows) row.a /= length, row.d /= length;
  return arm;
}

Arm any_of_all_kinds(Random& random, long kind) {
  if (kind % 10 < 4) return plain(any_skewed_arm(random));
  if (kind % 10 < 6) return plain(any_arm(random));
  const auto first = static_cast<std::size_t>(1 + kind / 10 % 4);
  return plain(kind % 10 < 8 ? any_meeting_arm(random, first) : any_parallel_arm(random, first));
}

}  // namespace

TEST_CASE("there are as many solutions as a saturated search finds, and the same") {
  const long cases = std::getenv("CELLPROOF_LONG") != nullptr ? 1000 : 100;
  Random random(41);
  std::mt19937 engine(42);
  long compared = 0, counts_differ = 0, unknown = 0;
  while (compared < cases) {
    const Arm arm = any_of_all_kinds(random, compared);
    Table table;
    for (std::size_t i = 0; i < 6; ++i) {
      table.a[i] = arm.rows[i].a;
      table.alpha[i] = arm.rows[i].alpha;
      table.d[i] = arm.rows[i].d;
      table.theta[i] = arm.rows[i].theta;
    }
    const Place goal = place_of(table, random.joints());
    if (goal.slopes.jacobiSvd().singularValues()[5] < 1e-3) continue;
    Pose pose = Pose::Identity();
    pose.linear() = goal.turn;
    pose.translation() = goal.at;
    const auto solutions = inverse(arm, pose);
    REQUIRE(solutions);
    // Where two solutions nearly fall together a plain iteration does not tell them apart.
    const bool close = std::any_of(solutions->all.begin(), solutions->all.end(), [&](const Solution& s) {
      return place_of(table, s.values).slopes.jacobiSvd().singularValues()[5] < 1e-3;
    });
    if (close) continue;
    ++compared;
    const auto known = saturated(table, goal, solutions->all.size(), engine);
    CAPTURE(compared, known.size(), solutions->all.size());
    CHECK(known.size() == solutions->all.size());
    counts_differ += known.size() != solutions->all.size();
    for (const Vector6& q : known) {
      const auto& all = solutions->all;
      unknown += std::none_of(all.begin(), all.end(), [&](const Solution& s) { return apart(s.values, q) < 1e-6; });
    }
  }
  CHECK(counts_differ == 0);
  CHECK(unknown == 0);
}
