// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof check: its report, its exit status, its files.
#include <map>
#include <set>
#include <sstream>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

json report_of(const std::string& cell) {
  const Folder folder;
  folder.write("cell.toml", cell);
  return json_of(run(folder, {"check", "cell.toml", "--json", "-"}));
}

bool is_vector(const json& value, std::size_t count) {
  if (!value.is_array() || value.size() != count) return false;
  for (const auto& entry : value)
    if (!entry.is_number()) return false;
  return true;
}

bool is_number_or_null(const json& value) {
  return value.is_number() || value.is_null();
}

const std::string still_cell = paul_zhang_arm + "[cycle]\nstart = [0, 45, 170, 0, 45, 0]\n";

}  // namespace

TEST_CASE("the report of a check has every key of its form, each with its type") {
  const json report = report_of(small_cell);
  CHECK(report.at("format") == 1);
  CHECK(report.at("cell") == "cell");
  CHECK(report.at("verdict") == "fail");
  CHECK(report.at("cycle_time_s").is_number());
  CHECK(report.at("check_time_s").is_number());
  for (const char* list :
       {"cautions", "not_computed", "bodies", "steps", "closest", "views", "grips", "wrist", "holds", "findings"}) {
    INFO(list);
    CHECK(report.at(list).is_array());
  }
}

TEST_CASE("a body of the report has its size, its kind and its measures") {
  const json body = report_of(small_cell).at("bodies").at(0);
  CHECK(body.at("name") == "post");
  CHECK(body.at("kind") == "surroundings");
  CHECK(body.at("triangles") == 12);
  CHECK(body.at("closed") == true);
  CHECK(body.at("volume_mm3").get<double>() == Approx(50.0 * 50 * 50));
  CHECK(body.at("area_mm2").get<double>() == Approx(6 * 50.0 * 50));
  CHECK(body.at("box_mm") == json({{-25.0, -25.0, -25.0}, {25.0, 25.0, 25.0}}));
}

TEST_CASE("a step of the report has its times, its joints and its clearance") {
  const json steps = report_of(small_cell).at("steps");
  REQUIRE(steps.size() == 3);
  CHECK(steps[0].at("kind") == "wait");
  CHECK(steps[1].at("kind") == "look");
  CHECK(steps[2].at("kind") == "joint");
  for (const json& step : steps) {
    INFO(step.dump());
    CHECK(step.at("name").is_string());
    CHECK_FALSE(step.contains("run"));  // there is no `each`
    CHECK(step.at("start_s").get<double>() <= step.at("end_s").get<double>());
    CHECK(is_vector(step.at("joints_end_deg"), 6));
    CHECK(step.at("limit_margin_deg").get<double>() == Approx(10));  // 180 - 170
    CHECK(step.at("manipulability").is_number());
    const json& clearance = step.at("clearance");
    CHECK(clearance.at("lower_mm").get<double>() <= clearance.at("upper_mm").get<double>());
    CHECK(clearance.at("between").size() == 2);
    CHECK(clearance.at("time_s").is_number());
    CHECK(is_vector(clearance.at("points_mm").at(0), 3));
    CHECK(is_vector(clearance.at("points_mm").at(1), 3));
  }
  // derived: 30 deg at 180 deg/s and 600 deg/s^2 never reaches full speed: 2 sqrt(30 / 600)
  CHECK(steps[2].at("end_s").get<double>() - steps[2].at("start_s").get<double>() == Approx(0.447213595));
}

TEST_CASE("a figure that does not apply is null, and nothing is printed as NaN or infinity") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const Answer answer = run(folder, {"check", "cell.toml", "--json", "-"});
  const json report = json_of(answer);
  const json target = report.at("views").at(0).at("targets").at(0);
  CHECK(target.at("name") == "mark");
  CHECK(target.at("in_frame") == 0);           // it lies behind the camera …
  CHECK(target.at("mm_per_pixel").is_null());  // … where a pixel has no size
  CHECK(target.at("in_focus").is_null());      // no `focus` is given
  for (const json& finding : report.at("findings")) {
    INFO(finding.dump());
    for (const char* key : {"time_s", "measured", "required"}) CHECK(is_number_or_null(finding.at(key)));
    CHECK(finding.at("message").is_string());
  }
  const Answer shown = run(folder, {"check", "cell.toml"});
  CHECK(shown.output.find("nan") == std::string::npos);
  CHECK(shown.output.find("inf ") == std::string::npos);
}

TEST_CASE("a step with nothing to check has no clearance") {
  const json report = report_of(still_cell + "[[step]]\nwait = \"1 s\"\n");
  CHECK(report.at("steps").at(0).at("clearance").is_null());
  CHECK(report.at("verdict") == "pass");
}

TEST_CASE("a cycle without steps passes in no time") {
  const json report = report_of(still_cell);
  CHECK(report.at("steps").empty());
  CHECK(report.at("cycle_time_s") == 0);
}

TEST_CASE("a check that passes ends with 0, one that does not with 1") {
  const Folder folder;
  folder.write("passes.toml", still_cell);
  folder.write("fails.toml", small_cell);
  CHECK(run(folder, {"check", "passes.toml"}).status == 0);
  CHECK(run(folder, {"check", "fails.toml"}).status == 1);
}

TEST_CASE("a pose out of reach fails the check and says where") {
  const std::string far = replaced(still_cell, "[cycle]", "[[tcp]]\nname = \"tip\"\non = \"flange\"\n[cycle]") +
                          "[[step]]\nmove = \"joint\"\nname = \"too far\"\n"
                          "to = { tcp = \"tip\", at = { xyz = [2000, 0, 0] } }\n";
  const json report = report_of(far);
  CHECK(report.at("verdict") == "fail");
  REQUIRE(report.at("findings").size() == 1);
  CHECK(report.at("findings")[0].at("check") == "reach");
  CHECK(report.at("findings")[0].at("step") == "too far");
}

TEST_CASE("bodies that cut each other fail with a gap of 0") {
  const json report = report_of(replaced(small_cell, "xyz = [0, 900, 0]", "xyz = [596, -150, -80]"));
  const json clearance = report.at("steps").at(0).at("clearance");
  CHECK(clearance.at("lower_mm") == 0);
  CHECK(clearance.at("upper_mm") == 0);
  CHECK(report.at("verdict") == "fail");
}

TEST_CASE("the report for reading never says safe or compliant and keeps to 118 columns") {
  const Folder folder;
  folder.write("cell.toml",
               replaced(small_cell, "name = \"post\"", "name = \"the post that stands right of the door\""));
  // the target rides on the body that has another name now
  folder.write("cell.toml", replaced(content_of(folder / "cell.toml"), "on = \"post\"",
                                     "on = \"the post that stands right of the door\""));
  const Answer answer = run(folder, {"check", "cell.toml"});
  REQUIRE(answer.status == 1);
  CHECK(answer.output.find("safe") == std::string::npos);
  CHECK(answer.output.find("compliant") == std::string::npos);
  CHECK(answer.output.find("the post that stands right of the door") != std::string::npos);
  std::istringstream lines(answer.output);
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    CHECK(line.size() <= 118);
  }
}

namespace {

/// The hand takes the blank off its seat, once for each of the rack's four, and holds it.
std::string rack_cell() {
  return replaced(small_cell.substr(0, small_cell.find("[[camera]]")), "[0, 900, 0]", "[0, 0, 0]") + R"([[tcp]]
name = "tip"
on = "flange"
at = { xyz = [0, 0, 60] }
[[seat]]
name = "rack"
at = { xyz = [300, 200, -150] }
grid = { columns = 2, rows = 2, pitch = [150, 150] }
[[part]]
name = "blank"
box = [40, 40, 20]
seat = "@slot"
at = { xyz = [0, 0, 11] }
grasps = [ { name = "top", at = { xyz = [0, 0, 10], turn = [180, 0, 0] }, turns = "any" } ]
[cycle]
start = [0, 45, 170, 0, 45, 0]
each = { "@slot" = "rack" }
[[step]]
pick = "blank"
tcp = "tip"
grasp = "top"
approach = 80
retreat = 80
)";
}

}  // namespace

TEST_CASE("a cycle for each seat of a grid is reported for every seat") {
  const json report = report_of(rack_cell());
  std::map<std::string, std::vector<std::string>> kinds;
  for (const json& step : report.at("steps")) kinds[step.at("run")].push_back(step.at("kind"));
  REQUIRE(kinds.size() == 4);
  for (const std::string seat : {"rack 1", "rack 2", "rack 3", "rack 4"}) {
    INFO(seat);
    CHECK(kinds[seat] == std::vector<std::string>{"joint", "linear", "grip", "linear"});
  }
  for (const json& finding : report.at("findings")) CHECK(finding.contains("run"));
}

TEST_CASE("a lid over one seat of a grid fails that seat and is told of it first") {
  const Folder folder;
  // over rack 4, at (450, 350)
  folder.write("cell.toml",
               rack_cell() + "[[body]]\nname = \"lid\"\nat = { xyz = [450, 370, -90] }\nbox = [60, 60, 20]\n");
  const json report = json_of(run(folder, {"check", "cell.toml", "--json", "-"}));
  std::set<std::string> failing;
  for (const json& finding : report.at("findings"))
    if (finding.at("severity") == "fail") failing.insert(finding.at("run"));
  CHECK(failing == std::set<std::string>{"rack 4"});
  const std::string text = run(folder, {"check", "cell.toml"}).output;
  CHECK(text.find("3 of 4 seats pass") != std::string::npos);
  CHECK(text.find("STEPS of rack 4") != std::string::npos);
}

TEST_CASE("a report goes to a file whole, and what stood there before is gone") {
  const Folder folder;
  folder.write("cell.toml", still_cell);
  folder.write("report.json", "something older");
  REQUIRE(run(folder, {"check", "cell.toml", "--json", "report.json"}).status == 0);
  CHECK(json::parse(content_of(folder / "report.json")).at("verdict") == "pass");
  CHECK(folder.count() == 2);  // nothing lies beside them
}

TEST_CASE("a report that can't be written leaves nothing behind") {
  const Folder folder;
  folder.write("cell.toml", still_cell);
  for (const std::string& file : {std::string("no folder/report.json"), folder.path().string()}) {
    const Answer answer = run(folder, {"check", "cell.toml", "--json", file});
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(file) != std::string::npos);
    CHECK(folder.count() == 1);
  }
}

TEST_CASE("a report to a link goes to the file behind it") {
  const Folder folder;
  folder.write("cell.toml", still_cell);
  folder.write("kept.json", "older");
  fs::create_symlink("kept.json", folder / "link.json");
  REQUIRE(run(folder, {"check", "cell.toml", "--json", "link.json"}).status == 0);
  CHECK(fs::is_symlink(folder / "link.json"));
  CHECK(json::accept(content_of(folder / "kept.json")));
}

TEST_CASE("a report to a device is put into it and not in its place") {
  const Folder folder;
  folder.write("cell.toml", still_cell);
  fs::create_symlink("/dev/stdout", folder / "out");
  const Answer answer = run(folder, {"check", "cell.toml", "--json", "out"});
  CHECK(answer.status == 0);
  CHECK(fs::is_symlink(folder / "out"));
}

TEST_CASE("of several fillings of the other seats the table of steps shows the worst, the JSON all") {
  // Given a rest beside a rack whose other seat is empty, or holds a part 3 m high that comes nearer than all else.
  const std::string cell = paul_zhang_arm + R"([[body]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 30] }
box = [20, 20, 20]
[[body]]
name = "post"
at = { xyz = [0, 900, 0] }
box = [50, 50, 50]
[[seat]]
name = "rack"
at = { xyz = [0, 900, 25] }
grid = { columns = 2, rows = 1, pitch = [900, 900] }
[[part]]
name = "low"
box = [20, 20, 20]
seat = "@slot"
[[part]]
name = "tall"
box = [20, 3000, 3000]
[cycle]
start = [0, 45, 170, 0, 45, 0]
each = { "@slot" = "rack" }
others = ["none", "tall"]
[[step]]
name = "rest"
wait = "1 s"
)";
  const Folder folder;
  folder.write("cell.toml", cell);
  const Answer answer = run(folder, {"check", "cell.toml"});
  INFO(answer.output);
  CHECK(answer.output.find("STEPS of rack 1, 'tall' in the other seats") != std::string::npos);
  const std::string row = "      0.00  rest ";
  const std::size_t first = answer.output.find(row);
  REQUIRE(first != std::string::npos);
  CHECK(answer.output.find(row, first + 1) == std::string::npos);

  const json report = report_of(cell);
  std::vector<std::string> told;
  for (const auto& step : report.at("steps"))
    told.push_back(step.at("run").get<std::string>() + ": " + step.at("others").get<std::string>());
  CHECK(told == std::vector<std::string>{"rack 1: none", "rack 1: tall", "rack 2: none", "rack 2: tall"});
}

TEST_CASE("check --page writes the report as one page, with the verdict that is printed") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const Answer plain = run(folder, {"check", "cell.toml"});
  const Answer answer = run(folder, {"check", "cell.toml", "--page", "report.html", "--json", "report.json"});
  CHECK(answer.status == plain.status);
  const std::string page = content_of(folder / "report.html");
  CHECK(page.rfind("<!DOCTYPE html>", 0) == 0);
  CHECK(page.find("<title>cell: FAIL</title>") != std::string::npos);
  CHECK(page.find("</html>\n") == page.size() - 8);
  for (const auto& caution : json::parse(content_of(folder / "report.json")).at("cautions"))
    CHECK(page.find(caution.get<std::string>()) != std::string::npos);
}

TEST_CASE("check --page - prints the page alone, and a page never takes the place of the cell or of the report") {
  const Folder folder;
  folder.write("cell.toml", small_cell);
  const Answer page = run(folder, {"check", "cell.toml", "--page", "-"});
  CHECK(page.output.rfind("<!DOCTYPE html>", 0) == 0);
  CHECK(page.output.find("</html>\n") == page.output.size() - 8);
  CHECK(run(folder, {"check", "cell.toml", "--page", "cell.toml"}).status == 2);
  CHECK(content_of(folder / "cell.toml") == small_cell);
  CHECK(run(folder, {"check", "cell.toml", "--page", "out", "--json", "out"}).status == 2);
  CHECK(run(folder, {"check", "cell.toml", "--page", "out", "--json", "./out"}).status == 2);
  CHECK_FALSE(fs::exists(folder / "out"));
  const Answer both = run(folder, {"check", "cell.toml", "--page", "-", "--json", "-"});
  CHECK(both.status == 2);
  CHECK(both.output.empty());
  CHECK(both.error.find("--page: standard output is taken by --json") != std::string::npos);
}
