// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof where: poses against numbers worked by hand, the Jacobian against differences of poses.
#include <array>
#include <cmath>

#include <Eigen/Geometry>
#include <fmt/format.h>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

/// Lengths that add up by hand: at zero every axis of link6 is the base's, and x runs through 100, 200, 10.
const std::string simple_cell = R"(format = 1
[arm]
base = { xyz = [1000, 0, 500], turn = [0, 0, 90] }
flange = { xyz = [0, 0, 7] }
joints = [
  { a = 0,   alpha = 0, d = 40, theta = 0, min = -180, max = 180, speed = 90, acceleration = 90 },
  { a = 100, alpha = 0, d = 0,  theta = 0, min = -180, max = 180, speed = 90, acceleration = 90 },
  { a = 200, alpha = 0, d = 0,  theta = 0, min = -180, max = 180, speed = 90, acceleration = 90 },
  { a = 10,  alpha = 0, d = 0,  theta = 0, min = -180, max = 180, speed = 90, acceleration = 90 },
  { a = 0,   alpha = 0, d = 0,  theta = 0, min = -180, max = 180, speed = 90, acceleration = 90, sign = -1 },
  { a = 0,   alpha = 0, d = 3,  theta = 0, min = -180, max = 180, speed = 90, acceleration = 90 },
]
[[tcp]]
name = "tip"
on = "flange"
at = { xyz = [5, 0, 20] }
)";

json where(const std::string& cell, const std::string& joints) {
  const Folder folder;
  folder.write("cell.toml", cell);
  return json_of(run(folder, {"where", "cell.toml", "--joints=" + joints, "--json", "-"}));
}

Eigen::Vector3d place_of(const json& pose) {
  const json& xyz = pose.at("xyz");
  return {xyz.at(0).get<double>(), xyz.at(1).get<double>(), xyz.at(2).get<double>()};
}
Eigen::Matrix3d turn_of(const json& pose) {
  const json& q = pose.at("quat");
  return Eigen::Quaterniond(q.at(0).get<double>(), q.at(1).get<double>(), q.at(2).get<double>(), q.at(3).get<double>())
      .toRotationMatrix();
}

void check_place(const json& pose, double x, double y, double z) {
  INFO(pose.dump());
  CHECK((place_of(pose) - Eigen::Vector3d(x, y, z)).norm() < 1e-9);
}

using Values = std::array<double, 6>;

std::string text_of(const Values& values) {
  std::string text;
  for (const double value : values) text += fmt::format("{}{:.12g}", text.empty() ? "" : ",", value);
  return text;
}

}  // namespace

TEST_CASE("at zero the simple arm stands stretched along its base's x, which is the world's y") {
  const json frames = where(simple_cell, "0,0,0,0,0,0").at("frames");
  check_place(frames.at("link1"), 1000, 0, 540);
  check_place(frames.at("link2"), 1000, 100, 540);
  check_place(frames.at("link3"), 1000, 300, 540);
  check_place(frames.at("link4"), 1000, 310, 540);
  check_place(frames.at("link5"), 1000, 310, 540);
  check_place(frames.at("link6"), 1000, 310, 543);
  check_place(frames.at("flange"), 1000, 310, 550);
  check_place(frames.at("tip"), 1000, 315, 570);
  CHECK(frames.size() == 8);
}

TEST_CASE("joint 2 at a right angle turns what follows, and a sign of -1 turns the other way") {
  // worked by hand: link2 stands at (0, 100) of the base, link3 at (0, 300), link4 at (0, 310); joint 5 turns back by
  // -90, so that the tip's 5 point along the base's x again
  const json frames = where(simple_cell, "0,90,0,0,90,0").at("frames");
  check_place(frames.at("link4"), 1000 - 310, 0, 540);
  check_place(frames.at("tip"), 1000 - 310, 5, 570);
  CHECK((turn_of(frames.at("tip")).col(0) - Eigen::Vector3d::UnitY()).norm() < 1e-12);
}

TEST_CASE("joint values carry units and minuses") {
  const json plain = where(simple_cell, "-10,20,30,-40,50,60");
  CHECK(where(simple_cell, "-10 deg,20,30,-40 deg,50,60") == plain);
  const json radians = where(simple_cell, "-0.1 rad,0,0,0,0,0").at("frames").at("link2");
  check_place(radians, 1000 + 100 * std::sin(0.1), 100 * std::cos(0.1), 540);
}

TEST_CASE("a column of the Jacobian is what a small turn of its joint does to the flange") {
  const Values at{-10, 20, 30, -40, 50, 60};
  for (const std::string& cell : {simple_cell, paul_zhang_arm}) {
    const json jacobian = where(cell, text_of(at)).at("jacobian");
    REQUIRE(jacobian.size() == 6);
    for (std::size_t joint = 0; joint < 6; ++joint) {
      const double step_deg = 1e-3, step = step_deg * 3.14159265358979323846 / 180;
      Values before = at, after = at;
      before[joint] -= step_deg;
      after[joint] += step_deg;
      const json a = where(cell, text_of(before)).at("frames").at("flange");
      const json b = where(cell, text_of(after)).at("frames").at("flange");
      const Eigen::Vector3d linear = (place_of(b) - place_of(a)) / (2 * step);
      const Eigen::Matrix3d spin = turn_of(b) * turn_of(a).transpose();
      const Eigen::Vector3d angular =
          Eigen::Vector3d(spin(2, 1) - spin(1, 2), spin(0, 2) - spin(2, 0), spin(1, 0) - spin(0, 1)) / (4 * step);
      for (std::size_t row = 0; row < 3; ++row) {
        INFO("joint " << joint + 1 << ", row " << row + 1);
        CHECK(jacobian[row][joint].get<double>() == Approx(linear[static_cast<int>(row)]).margin(1e-4));
        CHECK(jacobian[row + 3][joint].get<double>() == Approx(angular[static_cast<int>(row)]).margin(1e-7));
      }
    }
  }
}

TEST_CASE("joint values that are not six angles are refused") {
  const Folder folder;
  folder.write("cell.toml", simple_cell);
  for (const std::string joints :
       {"1,2,3", "1,2,3,4,5,6,7", "1,2,3,4,5,nan", "1,2,3,4,5,", "a,b,c,d,e,f", "1 mm,2,3,4,5,6", "1e999,2,3,4,5,6"}) {
    const Answer answer = run(folder, {"where", "cell.toml", "--joints=" + joints, "--json", "out.json"});
    INFO(joints);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.rfind("--joints: ", 0) == 0);
    CHECK_FALSE(fs::exists(folder / "out.json"));
  }
}

TEST_CASE("joints past their limits are told, with the values all the same") {
  // Given limits of -180 to 180 deg, and joint 5 at 200: 20 past. At 180 a joint is within.
  const json past = where(simple_cell, "180,0,0,0,200,0");
  REQUIRE(past.at("past_limits").size() == 1);
  CHECK(past.at("past_limits").at(0).at("joint") == 5);
  CHECK(past.at("past_limits").at(0).at("sum").is_null());
  CHECK(past.at("past_limits").at(0).at("over_deg").get<double>() == Approx(20));
  CHECK(past.at("frames").size() == 8);
  CHECK(where(simple_cell, "0,0,0,0,0,-180").at("past_limits").empty());
  const Folder folder;
  folder.write(
      "cell.toml",
      replaced(simple_cell, "flange =", "limits = [ { sum = [0, 1, 1, 0, 0, 0], min = -90, max = 90 } ]\nflange ="));
  const Answer text = run(folder, {"where", "cell.toml", "--joints=0,50,45,0,0,190"});
  CHECK(text.status == 0);
  CHECK(text.output.find("joint 6 at 190 deg is 10 deg past its limit") != std::string::npos);
  CHECK(text.output.find("sum of joints 1 at 95 deg is 5 deg past its limit") != std::string::npos);
}
