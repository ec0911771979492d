// SPDX-License-Identifier: GPL-3.0-or-later
// Seats that the arm reaches in one way, or in several.
#include <set>

#include "scene/cycle/ways_at_seats.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string tip = "[[tcp]]\nname = \"tip\"\nat = { xyz = [0, 0, 100] }\n";

std::string seat(const std::string& name, double x, double y, double yaw) {
  return fmt::format("[[seat]]\nname = \"{}\"\nat = {{ xyz = [{}, {}, 900], turn = [180, 0, {}] }}\n", name, x, y, yaw);
}

/// The tool is led to each of the seats, which look down, from a start with axes 4 and 6 turned half way.
std::string visits(const std::string& seats, const std::string& list, const std::string& key) {
  return head + tip + seats + "[cycle]\nstart = [0, 0, 0, 100, 0, 60]\neach = { \"@slot\" = " + list + " }\n" + key +
         "[[step]]\nname = \"visit\"\nmove = \"joint\"\nto = { tcp = \"tip\", frame = \"@slot\" }\n";
}

std::vector<Finding> of_ways(const Proof& proof) {
  auto found = findings_of(proof.report, "sequence");
  std::erase_if(found, [](const Finding& finding) { return finding.message.find("seats are ") == std::string::npos; });
  return found;
}

std::set<std::string> ways_taken(const Proof& proof) {
  std::set<std::string> ways;
  for (const StepFigure& step : proof.report.steps) ways.insert(step.configuration);
  return ways;
}

// At (790, 0, 900) the arm's plane is x-z and the wrist looks down: q4, q5, q6 are 0, -90, yaw or 180, 90, yaw - 180,
// each up to whole turns. From 100, 0, 60 the first takes longest for yaw 180 (q6 by 120 deg), the second for yaw 0.
const std::string two = seat("plain", 790, 0, 0) + seat("turned", 790, 0, 180);
const std::string same = "same_configuration = true\n";

}  // namespace

TEST_CASE("seats reached in different ways are a caution, once, with seats and ways") {
  const Proof proof = proved(visits(two, R"(["plain", "turned"])", ""));
  const auto found = of_ways(proof);
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::caution);
  CHECK(found[0].step == "visit");
  CHECK_THAT(found[0].message, Catch::Contains("'plain' with") && Catch::Contains("'turned' with") &&
                                   Catch::Contains("wrist flipped") && Catch::Contains("wrist not flipped"));
  CHECK_THAT(found[0].mend, Catch::Contains("same_configuration = true"));
  CHECK(ways_taken(proof).size() == 2);
}

TEST_CASE("asked for one way, the plan takes one for all, whatever the order of the seats") {
  for (const char* list : {R"(["plain", "turned"])", R"(["turned", "plain"])"}) {
    const Proof proof = proved(visits(two, list, same));
    CHECK(of_ways(proof).empty());
    CHECK(ways_taken(proof).size() == 1);
    CHECK(ways_at_seats(*proof.scene, *proof.cycle).empty());
    CHECK(fails_of(proof.report, "sequence").empty());
  }
}

TEST_CASE("seats that are reached alike anyhow are left alone") {
  const std::string seats = seat("one", 790, 0, 0) + seat("other", 790, 80, 0);
  const Proof free = proved(visits(seats, R"(["one", "other"])", "")),
              asked = proved(visits(seats, R"(["one", "other"])", same));
  CHECK(of_ways(free).empty());
  CHECK(of_ways(asked).empty());
  REQUIRE(free.report.steps.size() == asked.report.steps.size());
  for (std::size_t i = 0; i < free.report.steps.size(); ++i)
    CHECK(free.report.steps[i].joints_end == asked.report.steps[i].joints_end);
}

TEST_CASE("where no way serves all seats, asking for one fails, and says which seats are reached how") {
  // Axis 1 turns by 170 deg each way: what lies straight behind is reached over the shoulder only, what lies straight
  // ahead never so.
  const std::string seats = seat("ahead", 790, 0, 0) + seat("behind", -500, 0, 0);
  const Proof free = proved(visits(seats, R"(["ahead", "behind"])", ""));
  CHECK(ways_taken(free).size() == 2);
  const Proof asked = proved(visits(seats, R"(["ahead", "behind"])", same));
  const auto found = of_ways(asked);
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::fail);
  CHECK_THAT(found[0].message, Catch::Contains("'ahead' with") && Catch::Contains("'behind' with"));
  CHECK_FALSE(asked.report.pass);
}

TEST_CASE("an arm whose ways have no names can't be asked for one") {
  std::string text = visits(two, R"(["plain", "turned"])", same);
  // Axis 5 set off from axis 4: the last three no longer meet.
  const std::string good = "{ a = 0,   alpha = -90, d = 640", bad = "{ a = 55,  alpha = -70, d = 640";
  text.replace(text.find(good), good.size(), bad);
  const auto cell = read_cell_text(text, "cell.toml");
  REQUIRE_FALSE(cell);
  CHECK(cell.error().key == "cycle.same_configuration");
  const auto without = read_cell_text(head + cycle_from("0, 0, 0, 0, 0, 0") + same, "cell.toml");
  REQUIRE_FALSE(without);
  CHECK_THAT(without.error().text(), Catch::Contains("add each"));
}
