// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof reach: all solutions of a published arm, none where there are none, and an honest no.
#include <array>
#include <cmath>
#include <set>
#include <string>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

/// The pose at (0, 45, 180, 0, 45, 0): R = [0 0 1; 0 1 0; -1 0 0], a turn by 90 about y (derived).
const std::vector<std::string> published_pose = {"--xyz=596.303148574616,-150.05,-14.354267658087", "--turn=0,90,0"};

/// Its eight solutions, deg (derived: found by a multi-start Newton that shares no code with this program).
const std::vector<std::array<double, 6>> published_solutions = {
    {0, -47.757926579943, 5.383272674128, -180, 47.625346094185, -180},
    {0, -47.757926579943, 5.383272674128, 0, -47.625346094185, 0},
    {0, 45, -180, -180, -45, -180},
    {0, 45, -180, 0, 45, 0},
    {151.751379069400, -132.242073420057, 180, -141.367389415617, -49.296730888017, -27.528788625151},
    {151.751379069400, -132.242073420057, 180, 38.632610584383, 49.296730888017, 152.471211374849},
    {151.751379069400, 135, 5.383272674128, -34.895032890239, -55.826118983667, -158.605780179102},
    {151.751379069400, 135, 5.383272674128, 145.104967109761, 55.826118983667, 21.394219820898}};

Answer reach(const std::string& cell, std::vector<std::string> options) {
  const Folder folder;
  folder.write("cell.toml", cell);
  std::vector<std::string> words{"reach", "cell.toml", "--tcp", "flange"};
  words.insert(words.end(), options.begin(), options.end());
  return run(folder, words);
}

json solutions_of(const std::string& cell, std::vector<std::string> options) {
  options.insert(options.end(), {"--json", "-"});
  const Answer answer = reach(cell, options);
  CHECK(answer.status == 0);
  return json_of(answer);
}

/// The greatest difference of a joint, whole turns aside.
double apart(const std::array<double, 6>& a, const json& b) {
  double most = 0;
  for (std::size_t j = 0; j < 6; ++j)
    most = std::max(most, std::abs(std::remainder(a[j] - b.at(j).get<double>(), 360)));
  return most;
}

}  // namespace

TEST_CASE("the published arm reaches its pose in the eight published ways and no other") {
  const json answer = solutions_of(paul_zhang_arm, published_pose);
  CHECK(answer.at("singular") == false);
  REQUIRE(answer.at("solutions").size() == 8);
  for (const auto& published : published_solutions) {
    double nearest = 360;
    for (const json& solution : answer.at("solutions"))
      nearest = std::min(nearest, apart(published, solution.at("joints_deg")));
    INFO(published[1] << ", " << published[3]);
    CHECK(nearest < 1e-8);
  }
}

TEST_CASE("a solution carries its residuals, its limits and its manipulability") {
  const json answer = solutions_of(paul_zhang_arm, published_pose);
  for (const json& solution : answer.at("solutions")) {
    INFO(solution.dump());
    CHECK(solution.at("position_error_mm").get<double>() < 1e-6);
    CHECK(solution.at("angle_error_deg").get<double>() < 1e-6);
    CHECK(solution.at("within_limits") == true);
    // derived: |det J| of the eight lies between these
    CHECK(solution.at("manipulability").get<double>() > 0.0786171);
    CHECK(solution.at("manipulability").get<double>() < 0.0919846);
    for (const json& joint : solution.at("joints_deg")) {
      CHECK(joint.get<double>() > -180);
      CHECK(joint.get<double>() <= 180);
    }
  }
}

TEST_CASE("solutions outside the joint limits are told, and told as such") {
  const std::string narrow = replaced(paul_zhang_arm, "min = -180, max = 180", "min = -90, max = 90");  // joint 1
  int within = 0, outside = 0;
  const json answer = solutions_of(narrow, published_pose);
  for (const json& solution : answer.at("solutions")) ++(solution.at("within_limits").get<bool>() ? within : outside);
  CHECK(within == 4);   // joint 1 at 0
  CHECK(outside == 4);  // joint 1 at 151.75
}

TEST_CASE("a pose out of reach has no solution, which is an answer") {
  const json answer = solutions_of(paul_zhang_arm, {"--xyz=5000,0,0"});
  CHECK(answer.at("solutions").empty());
  CHECK(answer.at("singular") == false);
}

TEST_CASE("lengths and angles carry units") {
  const json in_mm = solutions_of(paul_zhang_arm, {"--xyz=508,-127,25.4", "--turn=0,90,0"});
  REQUIRE_FALSE(in_mm.at("solutions").empty());
  const json in_inches = solutions_of(paul_zhang_arm, {"--xyz=20 in,-5 in,1 in", "--turn=0,1.5707963267948966 rad,0"});
  REQUIRE(in_inches.at("solutions").size() == in_mm.at("solutions").size());
  for (std::size_t i = 0; i < in_mm.at("solutions").size(); ++i)
    for (std::size_t j = 0; j < 6; ++j)
      CHECK(in_inches["solutions"][i]["joints_deg"][j].get<double>() ==
            Approx(in_mm["solutions"][i]["joints_deg"][j].get<double>()).margin(1e-6));
}

TEST_CASE("an arm without a closed form is solved all the same") {
  std::string general = replaced(paul_zhang_arm, "{ a = 0, alpha = 90, d = 431.8", "{ a = 15, alpha = 70, d = 431.8");
  general = replaced(general, "{ a = 0, alpha = -90, d = 0", "{ a = 11, alpha = -50, d = 9");
  const json answer = solutions_of(general, {"--xyz=400,100,200", "--turn=20,80,10"});
  REQUIRE_FALSE(answer.at("solutions").empty());
  for (const json& solution : answer.at("solutions")) {
    CHECK(solution.at("position_error_mm").get<double>() < 1e-6);
    CHECK(solution.at("angle_error_deg").get<double>() < 1e-6);
    CHECK(solution.at("configuration").is_null());
  }
}

TEST_CASE("an arm that is singular everywhere is refused honestly and nothing is written") {
  const Folder folder;
  folder.write("cell.toml", replaced(paul_zhang_arm, "{ a = 0, alpha = -90, d = 0", "{ a = 0, alpha = 0, d = 0"));
  const Answer answer = run(folder, {"reach", "cell.toml", "--tcp", "flange", "--xyz=400,0,0", "--json", "out.json"});
  INFO(answer.error);
  CHECK(answer.status == 2);
  CHECK(is_one_line(answer.error));
  CHECK(answer.error.find("singular in every position") != std::string::npos);
  CHECK_FALSE(fs::exists(folder / "out.json"));
}

TEST_CASE("a solution is named by how the arm stands") {
  const json answer = solutions_of(paul_zhang_arm, published_pose);
  std::set<std::string> names;
  for (const json& solution : answer.at("solutions")) names.insert(solution.at("configuration").get<std::string>());
  CHECK(names.size() == 8);
  CHECK(names.count("shoulder left, elbow up, wrist flipped") == 1);
  CHECK(answer.at("shortfall").is_null());
}

TEST_CASE("a pose that is not reached says how far the arm falls short and what stops it") {
  const json far = solutions_of(paul_zhang_arm, {"--xyz=5000,0,0"}).at("shortfall");
  CHECK(far.at("stopped_by") == "outside reach");
  CHECK(far.at("joint").is_null());
  // derived: the wrist's centre is at most 431.8 + √(20.3² + 431.8²) from axis 2 in the arm's plane, 150.05 beside axis
  // 1
  const double in_plane = 431.8 + std::hypot(20.3, 431.8);
  CHECK(far.at("position_mm").get<double>() == Approx(5000 - std::hypot(in_plane, 150.05)).margin(1e-2));

  const std::string narrow = replaced(paul_zhang_arm, "min = -180, max = 180", "min = 10, max = 140");  // joint 1
  const json stopped = solutions_of(narrow, published_pose).at("shortfall");
  CHECK(stopped.at("stopped_by") == "limit");
  CHECK(stopped.at("joint") == 1);
  CHECK(stopped.at("over_limit_deg").get<double>() == Approx(10).margin(1e-6));  // it would stand at 0
  const Answer text = reach(narrow, published_pose);
  CHECK(text.output.find("joint 1 would have to go 10.00 deg past its limit") != std::string::npos);
}

TEST_CASE("a pose can be asked for in the base, which stands still") {
  CHECK(reach(small_cell, {"--xyz=1,2,3", "--frame", "base"}).status == 0);
}

TEST_CASE("names and poses that can't be meant are refused") {
  const std::vector<std::vector<std::string>> calls = {{"--xyz=1,2"},
                                                       {"--xyz=1,2,x"},
                                                       {"--xyz=1e300,0,0"},
                                                       {"--xyz=1 kg,2,3"},
                                                       {"--xyz=1,2,3", "--turn=1 mm,0,0"},
                                                       {"--xyz=1,2,3", "--frame", "nowhere"},
                                                       {"--xyz=1,2,3", "--frame", "hand"}};  // rides on the arm
  for (const auto& options : calls) {
    const Answer answer = reach(small_cell, options);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
  }
}
