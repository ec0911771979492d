// SPDX-License-Identifier: GPL-3.0-or-later
// Arms with printed or derived numbers.
#include <algorithm>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include <Eigen/LU>
#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/arm_structure.hpp"
#include "kinematics/inverse/inverse.hpp"
#include "tests/support/joint_values.hpp"

using namespace cellproof;
using cellproof::test::in_degrees;

namespace {

Arm from_table(const std::array<double, 6>& a, const std::array<double, 6>& alpha_degrees,
               const std::array<double, 6>& d) {
  Arm arm;
  for (std::size_t i = 0; i < 6; ++i) arm.rows[i] = {a[i], radians(alpha_degrees[i]), d[i], 0};
  return arm;
}

/// R. Manseur, K. L. Doty, IJRR 8(5):75-79, 1989 (printed). Lengths without unit there, mm here.
Arm manseur_doty() {
  return from_table({0.3, 1, 0, 1.5, 0, 0}, {90, 0, 90, 0, 90, 0}, {0, 0, 0.2, 0, 0, 0});
}

/// R. P. Paul, H. Zhang, IJRR 5(2):32-44, 1986, parameters of P. Corke, B. Armstrong-Hélouvry, ICRA 1994 (printed; m).
Arm paul_zhang() {
  return from_table({0, 431.8, 20.3, 0, 0, 0}, {90, 0, -90, 90, -90, 0}, {0, 0, 150.05, 431.8, 0, 0});
}

struct Row {
  Joints values;
  double determinant = 0, least_singular_value = 0;
};

std::vector<Row> rows_of(const std::string& name) {
  std::ifstream file(std::string(CELLPROOF_SOURCE_DIR) + "/tests/published/data/" + name);
  std::vector<Row> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.starts_with("#") || line.starts_with("q1")) continue;
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream numbers(line);
    Row row;
    for (int j = 0; j < 6; ++j) numbers >> row.values[j];
    numbers >> row.determinant >> row.least_singular_value;
    row.values *= pi / 180;
    rows.push_back(row);
  }
  return rows;
}

double turns_apart(const Joints& a, const Joints& b) {
  const Joints turns = (a - b) / (2 * pi);
  return 2 * pi * (turns.array() - turns.array().round()).abs().maxCoeff();
}

std::vector<Joints> many_joints(int count) {
  std::mt19937 engine(7);
  std::uniform_real_distribution<double> angle(-pi, pi);
  std::vector<Joints> all(static_cast<std::size_t>(count));
  for (Joints& values : all) {
    values = Joints::NullaryExpr([&] { return angle(engine); });
  }
  return all;
}

double determinant(const Arm& arm, const Joints& values) {
  return flange_jacobian(arm, arm_frames(arm, values)).determinant();
}

}  // namespace

TEST_CASE("the arm of Manseur and Doty reaches its pose in sixteen ways") {
  // Exact form of the printed target (derived): it reproduces each printed digit.
  const Vector3d n = Vector3d(-std::sqrt(1.30), 0.2, -std::sqrt(0.91)) / 1.5;
  const double s = std::hypot(n.x(), n.z());
  const Vector3d b(n.z() / s, 0, -n.x() / s);
  Pose target = Pose::Identity();
  target.linear() << n, b, n.cross(b);
  target.translation() << -std::sqrt(1.30), 0, 0;
  // Printed.
  Eigen::Matrix<double, 3, 4> printed;
  printed << -0.760117, -0.641689, 0.102262, -1.140175, 0.133333, 0, 0.991071, 0, -0.635959, 0.766965, 0.085558, 0;
  CHECK((target.matrix().topRows<3>() - printed).cwiseAbs().maxCoeff() < 1e-6);  // rounded or cut

  const auto rows = rows_of("manseur_doty_1989.csv");
  REQUIRE(rows.size() == 16);
  for (const Row& row : rows) {
    const Pose reached = flange_in_base(manseur_doty(), row.values);
    // The file gives twelve decimals of a degree.
    CHECK((reached.matrix() - target.matrix()).cwiseAbs().maxCoeff() < 1e-12);
    CHECK(determinant(manseur_doty(), row.values) == Approx(row.determinant).epsilon(1e-8));
    CHECK(least_singular_value(flange_jacobian(manseur_doty(), arm_frames(manseur_doty(), row.values)), 1) ==
          Approx(row.least_singular_value).margin(1e-6));
  }
}

TEST_CASE("the determinant that Manseur and Doty print is that of the Jacobian") {
  // Their eq. 6 (printed).
  for (const Joints& q : many_joints(10000)) {
    const double c2 = std::cos(q[1]), c3 = std::cos(q[2]), s3 = std::sin(q[2]), c4 = std::cos(q[3]),
                 s4 = std::sin(q[3]);
    const double c5 = std::cos(q[4]), c23 = std::cos(q[1] + q[2]), s23 = std::sin(q[1] + q[2]),
                 s45 = std::sin(q[3] + q[4]);
    const double printed =
        1.5 * (c3 * s45 * (s4 * (0.3 + c2) - 0.2 * c23 * c4) - s3 * s23 * c4 * (1.5 * c5 + 0.2 * s45));
    CHECK(std::abs(determinant(manseur_doty(), q) - printed) < 1e-13);
  }
}

TEST_CASE("all sixteen solutions of the arm of Manseur and Doty are found and no more") {
  CHECK(arm_structure(manseur_doty()) == ArmStructure{});
  const auto rows = rows_of("manseur_doty_1989.csv");
  // Any turn of joint 1 gives another pose with sixteen (printed).
  for (const double turn : {0.0, 0.3, pi / 2, 2.0, pi}) {
    Joints first = Joints::Zero();
    first[0] = turn;
    const auto solutions = inverse(manseur_doty(), flange_in_base(manseur_doty(), rows.front().values + first));
    REQUIRE(solutions);
    CHECK(solutions->all.size() == 16);
    CHECK_FALSE(solutions->singular);
    for (const Row& row : rows) {
      const auto same = std::count_if(solutions->all.begin(), solutions->all.end(), [&](const Solution& solution) {
        return turns_apart(solution.values, row.values + first) < 1e-11;
      });
      CHECK(same == 1);
    }
  }
}

TEST_CASE("the arm of Paul and Zhang stands where printed parameters put it") {
  // Derived, m.
  const Pose at_zero = flange_in_base(paul_zhang(), Joints::Zero());
  CHECK((at_zero.linear() - Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff() < 1e-15);
  CHECK((at_zero.translation() / 1000 - Vector3d(0.4521, -0.15005, 0.4318)).norm() < 1e-14);
  const Joints nominal = in_degrees(0, 45, 180, 0, 45, 0);
  const Pose pose = flange_in_base(paul_zhang(), nominal);
  Eigen::Matrix3d rotation;
  rotation << 0, 0, 1, 0, 1, 0, -1, 0, 0;
  CHECK((pose.linear() - rotation).cwiseAbs().maxCoeff() < 1e-14);
  CHECK((pose.translation() / 1000 - Vector3d(0.596303148574616, -0.15005, -0.014354267658087)).norm() < 1e-14);
  // T. Yoshikawa, IJRR 4(2):3-9, 1985, for the definition; the number derived.
  CHECK(manipulability(flange_jacobian(paul_zhang(), arm_frames(paul_zhang(), nominal))) ==
        Approx(0.078617165).epsilon(1e-8));
}

TEST_CASE("all eight solutions of the arm of Paul and Zhang are found and no more") {
  const auto rows = rows_of("paul_zhang_1986_arm.csv");
  REQUIRE(rows.size() == 8);
  const auto solutions = inverse(paul_zhang(), flange_in_base(paul_zhang(), in_degrees(0, 45, 180, 0, 45, 0)));
  REQUIRE(solutions->all.size() == 8);
  CHECK_FALSE(solutions->singular);
  for (const Row& row : rows) {
    const auto same = std::count_if(solutions->all.begin(), solutions->all.end(), [&](const Solution& solution) {
      return turns_apart(solution.values, row.values) < 1e-12;
    });
    CHECK(same == 1);
    CHECK(determinant(paul_zhang(), row.values) * 1e-9 == Approx(row.determinant).epsilon(1e-8));
  }
}

TEST_CASE("the determinant of an arm with a spherical wrist factors into its singularities") {
  // det J = a2 (d4 c3 + a3 s3)(a2 c2 + a3 c23 − d4 s23) s5 (derived): elbow, shoulder and wrist.
  constexpr double a2 = 0.4318, a3 = 0.0203, d4 = 0.4318;
  for (const Joints& q : many_joints(10000)) {
    const double elbow = d4 * std::cos(q[2]) + a3 * std::sin(q[2]);
    const double shoulder = a2 * std::cos(q[1]) + a3 * std::cos(q[1] + q[2]) - d4 * std::sin(q[1] + q[2]);
    CHECK(std::abs(determinant(paul_zhang(), q) * 1e-9 - a2 * elbow * shoulder * std::sin(q[4])) < 1e-14);
  }
}

TEST_CASE("the determinant of an arm with three parallel axes factors into its singularities") {
  // det J = s3 s5 a2 a3 (a2 c2 + a3 c23 + d5 s234) (derived).
  constexpr double a2 = 0.6, a3 = 0.55, d5 = 0.11;
  const Arm arm = from_table({0, 600, 550, 0, 0, 0}, {90, 0, 0, 90, -90, 0}, {160, 0, 0, 150, 110, 100});
  for (const Joints& q : many_joints(10000)) {
    const double c23 = std::cos(q[1] + q[2]), s234 = std::sin(q[1] + q[2] + q[3]);
    const double expected = std::sin(q[2]) * std::sin(q[4]) * a2 * a3 * (a2 * std::cos(q[1]) + a3 * c23 + d5 * s234);
    CHECK(std::abs(determinant(arm, q) * 1e-9 - expected) < 1e-14);
  }
}

TEST_CASE("an arm with three parallel axes has eight solutions at most") {
  const Arm arm = from_table({0, 600, 550, 0, 0, 0}, {90, 0, 0, 90, -90, 0}, {160, 0, 0, 150, 110, 100});
  std::size_t most = 0;
  for (const Joints& q : many_joints(2000)) most = std::max(most, inverse(arm, flange_in_base(arm, q))->all.size());
  CHECK(most == 8);
}
