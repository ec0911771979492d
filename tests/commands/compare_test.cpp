// SPDX-License-Identifier: GPL-3.0-or-later
// Versions of a design side by side, as a user asks for them.
#include <algorithm>
#include <cmath>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell";
const std::string drawn = (demo / "as-drawn.toml").string(), mended = (demo / "mended.toml").string();

nlohmann::json margin(const nlohmann::json& comparison, const std::string& check, const std::string& name) {
  for (const auto& each : comparison["margins"])
    if (each["check"] == check && each["name"] == name) return each;
  FAIL("no margin '" << name << "'");
  return {};
}

double least_gap(const nlohmann::json& report) {
  double least = 1e9;
  for (const auto& step : report["steps"])
    if (!step["clearance"].is_null()) least = std::min(least, step["clearance"]["lower_mm"].get<double>());
  return least;
}

}  // namespace

TEST_CASE("compare tells each margin as check does, and by how much it changed") {
  const Folder folder;
  const auto both = json_of(run(folder, {"compare", drawn, mended, "--json", "-"}));
  const auto first = json_of(run(folder, {"check", drawn, "--json", "-"}));
  const auto second = json_of(run(folder, {"check", mended, "--json", "-"}));
  CHECK(both["cells"][0]["verdict"] == "fail");
  CHECK(both["cells"][1]["verdict"] == "pass");

  const auto time = margin(both, "cycle", "time of the longest run");
  CHECK(time["values"][0] == first["cycle_time_s"]);
  CHECK(time["values"][1] == second["cycle_time_s"]);
  CHECK(time["changes"][1].get<double>() ==
        Approx(second["cycle_time_s"].get<double>() - first["cycle_time_s"].get<double>()));
  CHECK(time["more_is_better"] == false);

  const auto gap = margin(both, "clearance", "least gap");
  CHECK(gap["values"][0].get<double>() == least_gap(first));
  CHECK(gap["values"][1].get<double>() == least_gap(second));

  const auto seen = margin(both, "sightline", "wrist camera: cast arrow, visible");
  CHECK(seen["values"][0].get<double>() == Approx(100 * first["views"][0]["targets"][0]["visible"].get<double>()));
  CHECK(seen["more_is_better"] == true);

  const auto held = margin(both, "grip", "casting in jaw tip, held");
  CHECK(held["values"][1] == second["grips"][0]["factor"]);

  // A pair that is among the closest of one version is measured in the other as well.
  const auto beside_the_door = margin(both, "clearance", "casting / door frame");
  REQUIRE(beside_the_door["values"][0].is_number());
  REQUIRE(beside_the_door["values"][1].is_number());
  const double farthest_listed = second["closest"].back()["lower_mm"];
  CHECK(beside_the_door["values"][1].get<double>() >= farthest_listed * 0.98 - 0.1);
}

TEST_CASE("compare lists what fails in one version only") {
  const Folder folder;
  const auto better = json_of(run(folder, {"compare", drawn, mended, "--json", "-"}))["cells"][1];
  CHECK(better["new_failures"].empty());
  REQUIRE(better["gone_failures"].size() == 2);
  CHECK(better["gone_failures"][0]["check"] == "sightline");
  CHECK(better["gone_failures"][1]["check"] == "clearance");

  const Answer worse = run(folder, {"compare", mended, drawn});
  CHECK(worse.status == 0);
  CHECK(worse.output.find("FAILS in 2, not in 1") != std::string::npos);
  CHECK(worse.output.find("no more in 2") == std::string::npos);
  CHECK(worse.output.find("-35.07 !") != std::string::npos);  // percent of the target seen: 64.93 of 100
}

TEST_CASE("a version whose cycle stops early is told to have no more margins than that") {
  const Folder folder;
  folder.write("whole.toml", small_cell);
  folder.write("short.toml", with_a_step_far_off(small_cell));
  const Answer answer = run(folder, {"compare", "whole.toml", "short.toml"});
  CHECK(answer.output.find("stops before \"far off\"") != std::string::npos);
  CHECK(run(folder, {"compare", "whole.toml", "whole.toml"}).output.find("stops before") == std::string::npos);
}

TEST_CASE("a version beside itself has no change and nothing new") {
  const Folder folder;
  const auto same = json_of(run(folder, {"compare", mended, mended, mended, "--json", "-"}));
  REQUIRE(same["cells"].size() == 3);
  CHECK(same["margins"].size() > 10);
  for (const auto& each : same["margins"])
    for (std::size_t i = 1; i < 3; ++i) CHECK(each["changes"][i] == 0);
  for (std::size_t i = 1; i < 3; ++i) {
    CHECK(same["cells"][i]["new_failures"].empty());
    CHECK(same["cells"][i]["gone_failures"].empty());
  }
  CHECK(run(folder, {"compare", mended, mended}).output.find(" !\n") == std::string::npos);
}

TEST_CASE("compare refuses what it can't use in one line and writes nothing") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  folder.write("still.toml", small_cell.substr(0, small_cell.find("[cycle]")));
  for (const auto& [arguments, word] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"compare", "cell.toml", "--json", "c.json"}, "names one cell"},
           {{"compare", "cell.toml", "absent.toml", "--json", "c.json"}, "absent.toml"},
           {{"compare", "cell.toml", "still.toml", "--json", "c.json"}, "[cycle]"},
           {{"compare", "cell.toml", "cell.toml", "--json", "cell.toml"}, "--json"}}) {
    const Answer answer = run(folder, arguments);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(word) != std::string::npos);
    CHECK_FALSE(fs::exists(folder / "c.json"));
  }
  CHECK(content_of(folder / "cell.toml") == small_cell);
}
