// SPDX-License-Identifier: GPL-3.0-or-later
// The poses to enter at the controller, as a user asks for them.
#include <algorithm>
#include <cmath>
#include <map>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

const fs::path models = fs::path(CELLPROOF_SOURCE_DIR) / "models";

/// Fields without commas in them, which these cells' names don't have; the configuration's quotes are taken off.
std::vector<std::vector<std::string>> rows_of(const std::string& csv) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row(1);
  bool quoted = false;
  for (const char c : csv) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      row.emplace_back();
    } else if (c == '\n') {
      rows.push_back(row);
      row.assign(1, "");
    } else if (c != '\r') {
      row.back() += c;
    }
  }
  CHECK(row == std::vector<std::string>(1));  // the last line ends
  return rows;
}

enum Column {
  run_name = 0,
  step = 2,
  move = 3,
  first_joint = 4,
  tool = 10,
  frame = 11,
  x = 12,
  roll = 15,
  qw = 18,
  then = 23
};

double number(const std::vector<std::string>& row, int column) {
  return std::stod(row.at(static_cast<std::size_t>(column)));
}

std::string joints_of(const std::vector<std::string>& row) {
  std::string joints = "--joints=";
  for (int j = 0; j < 6; ++j) joints += (j ? "," : "") + row.at(static_cast<std::size_t>(first_joint + j));
  return joints;
}

}  // namespace

TEST_CASE("poses are where the joint values put the tool") {
  // The base stands at the world's origin, so that `where` answers in the base.
  const Folder folder;
  folder.write(
      "cell.toml",
      replaced(small_cell, "[cycle]",
               "[[tcp]]\nname = \"tip\"\non = \"flange\"\nat = { xyz = [5, 0, 40], turn = [0, 30, 0] }\n[cycle]") +
          "[[step]]\nmove = \"linear\"\nname = \"aside\"\nto = { tcp = \"tip\", joints = [32, 45, 170, 0, 45, 0] "
          "}\n");
  const Answer answer = run(folder, {"poses", "cell.toml", "--csv", "-"});
  const auto rows = rows_of(answer.output);
  REQUIRE(rows.size() == 5);  // head, tool, start, two moves
  CHECK(rows[1][tool] == "tip");
  CHECK(rows[1][frame] == "flange");
  CHECK(number(rows[1], x) == 5);
  CHECK(rows[2][step] == "start");
  CHECK(rows[2][then] == "");
  CHECK(rows[4][step] == "aside");
  CHECK(rows[4][move] == "linear");
  CHECK(rows[4][tool] == "tip");
  for (std::size_t i = 2; i < rows.size(); ++i) {
    const auto there = json_of(run(folder, {"where", "cell.toml", joints_of(rows[i]), "--json", "-"}));
    const auto& pose = there["frames"][rows[i][tool]];
    for (int k = 0; k < 3; ++k)
      CHECK(number(rows[i], x + k) == Approx(pose["xyz"][static_cast<std::size_t>(k)]).margin(1e-3));
    double aligned = 0;
    for (int k = 0; k < 4; ++k)
      aligned += number(rows[i], qw + k) * pose["quat"][static_cast<std::size_t>(k)].get<double>();
    CHECK(std::abs(aligned) == Approx(1).margin(1e-7));
  }
}

TEST_CASE("a sign is taken off a zero and off half a turn in space, and off nothing else") {
  // A tool 180 mm to the left and joints at -180 degrees keep their signs; a yaw of -180 degrees is one of 180.
  const Folder folder;
  folder.write(
      "cell.toml",
      replaced(replaced(small_cell, "[cycle]",
                        "[[tcp]]\nname = \"left\"\non = \"flange\"\nat = { xyz = [-180, 0, 0], turn = [0, 0, -180] "
                        "}\n[cycle]"),
               "joints = [30, 45, 170, 0, 45, 0]", "joints = [-180, 45, 170, 0, 45, -180]"));
  const auto rows = rows_of(run(folder, {"poses", "cell.toml", "--csv", "-"}).output);
  CHECK(number(rows[1], x) == -180);
  CHECK(rows[1][static_cast<std::size_t>(roll) + 2] == "180.00000");
  CHECK(rows[1][static_cast<std::size_t>(x) + 1] == "0.0000");
  CHECK(rows[3][first_joint] == "-180.000000");
  CHECK(number(rows[3], first_joint + 5) == -180);
  const Answer text = run(folder, {"poses", "cell.toml"});
  CHECK(text.output.find("-180.000    45.000   170.000     0.000    45.000  -180.000") != std::string::npos);
  CHECK(text.output.find("-0.000") == std::string::npos);
}

TEST_CASE("a run that can't be run to its end says where its poses end") {
  const Folder folder;
  folder.write("cell.toml", with_a_step_far_off(small_cell));
  const Answer answer = run(folder, {"poses", "cell.toml"});
  CHECK(answer.status == 1);
  CHECK(answer.output.find("up to \"far off\", which can't be run") != std::string::npos);
}

TEST_CASE("poses of a cell that passes end the moves that check reports, step by step") {
  const Folder folder;
  const std::string cell = (models / "flange-cell" / "mended.toml").string();
  const auto rows = rows_of(run(folder, {"poses", cell, "--csv", "-"}).output);
  const auto report = json_of(run(folder, {"check", cell, "--json", "-"}));
  std::size_t row = 3;  // behind head, tool and start
  for (const auto& entry : report["steps"]) {
    if (entry["kind"] != "joint" && entry["kind"] != "linear") continue;
    REQUIRE(row < rows.size());
    if (rows[row][step] != entry["name"]) continue;  // goes nowhere
    bool same = true;
    for (std::size_t j = 0; j < 6; ++j)
      same = same && std::abs(number(rows[row], first_joint + static_cast<int>(j)) -
                              entry["joints_end_deg"][j].get<double>()) < 1e-5;
    row += same;
  }
  CHECK(row == rows.size());
  const auto grips = std::count_if(rows.begin(), rows.end(), [](const auto& r) { return r.at(then) == "grip"; });
  const auto lets_go = std::count_if(rows.begin(), rows.end(), [](const auto& r) { return r.at(then) == "release"; });
  CHECK(grips == 1);
  CHECK(lets_go == 1);
}

TEST_CASE("of later seats the text tells what differs, the file everything") {
  const Folder folder;
  const std::string cell = (models / "board-cell" / "mended.toml").string();
  const Answer text = run(folder, {"poses", cell, "--csv", "poses.csv"});
  CHECK(text.status == 0);
  CHECK(text.output.find("POSES, rack 8: what is not as in rack 1") != std::string::npos);
  CHECK(text.output.find("competent") != std::string::npos);
  const auto rows = rows_of(content_of(folder / "poses.csv"));
  std::map<std::string, int> of_run;
  for (const auto& row : rows) ++of_run[row[run_name]];
  CHECK(of_run.size() == 10);  // eight seats, the head and the tool's line
  CHECK(of_run["rack 1"] == of_run["rack 8"]);
  CHECK(of_run["rack 1"] > 20);
}

TEST_CASE("poses of a cell that fails say so and end with 1") {
  const Folder folder;
  const Answer answer = run(folder, {"poses", (models / "flange-cell" / "as-drawn.toml").string(), "--csv", "p.csv"});
  CHECK(answer.status == 1);
  CHECK(answer.output.find("FAIL") != std::string::npos);
  CHECK(fs::exists(folder / "p.csv"));
}

TEST_CASE("poses refuses what it can't use in one line and writes nothing") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  folder.write("still.toml", small_cell.substr(0, small_cell.find("[cycle]")));
  for (const auto& [arguments, word] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"poses", "still.toml", "--csv", "p.csv"}, "[cycle]"},
           {{"poses", "absent.toml", "--csv", "p.csv"}, "absent.toml"},
           {{"poses", "cell.toml", "--csv", "cell.toml"}, "--csv"}}) {
    const Answer answer = run(folder, arguments);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(word) != std::string::npos);
    CHECK_FALSE(fs::exists(folder / "p.csv"));
  }
  CHECK(content_of(folder / "cell.toml") == small_cell);
}
