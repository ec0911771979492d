// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof survey: the same answer in one go, in slices and after a stop, and nothing torn.
#include "tests/commands/program.hpp"
#include "tests/support/loader_arm.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

const std::string cell = "name = \"stand by the arm\"\n" + cellproof::test::head + R"([[body]]
name = "tool"
on = "flange"
at = { xyz = [0, 0, 40] }
cylinder = { radius = 20, height = 60 }
[[tcp]]
name = "hand"
on = "tool"
[[body]]
name = "stand"
at = { xyz = [1350, 0, 50] }
box = [40, 40, 100]
[[survey]]
name = "spots"
move = "stand"
x = { from = -60, to = 100, step = 20 }
y = { from = -40, to = 40, step = 20 }
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
name = "over it"
move = "joint"
to = { tcp = "hand", frame = "stand", at = { xyz = [0, 0, 300], turn = [180, 0, 0] } }
[[step]]
move = "joint"
to = { joints = [0, 0, 0, 0, -90, 0] }
[rules]
limit_margin = 2
)";

Answer survey(const Folder& folder, std::vector<std::string> options) {
  std::vector<std::string> words{"survey", "cell.toml", "spots"};
  words.insert(words.end(), options.begin(), options.end());
  return run(folder, words);
}

}  // namespace

TEST_CASE("a survey tells which spots pass, the best of them and what to write") {
  const Folder folder;
  folder.write("cell.toml", cell);
  const Answer answer = survey(folder, {"--json", "s.json", "--csv", "s.csv", "--map", "s.png"});
  INFO(answer.error);
  REQUIRE(answer.status == 0);
  CHECK(answer.output.find("BEST  'stand' at") != std::string::npos);
  CHECK(answer.output.find("[[body]] \"stand\" at = { xyz = [") != std::string::npos);
  CHECK(answer.output.find("reach: ") != std::string::npos);
  const json report = json::parse(content_of(folder / "s.json"));
  REQUIRE(report["spots"].size() == 9 * 5);
  const json& best = report["spots"][report["best"].get<std::size_t>()];
  CHECK(best["verdict"] == "pass");
  CHECK(best["reason"].is_null());
  for (const auto& spot : report["spots"])
    if (spot["verdict"] == "pass") CHECK(spot["score"] <= best["score"]);
  CHECK(report["slack_mm"].is_number());
  const std::string csv = content_of(folder / "s.csv");
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 1 + 9 * 5);
  CHECK(content_of(folder / "s.png").starts_with("\x89PNG"));
}

TEST_CASE("slices put together, and a survey gone on with after a torn line, give the same bytes") {
  const Folder folder;
  folder.write("cell.toml", cell);
  REQUIRE(survey(folder, {"--json", "whole.json"}).status == 0);
  for (const char* part : {"1", "2", "3"})
    REQUIRE(survey(folder, {"--slice", std::string(part) + "/3", "--keep", std::string("part") + part}).status == 0);
  REQUIRE(survey(folder, {"--join", "part1", "part2", "part3", "--json", "joined.json"}).status == 0);
  CHECK(content_of(folder / "joined.json") == content_of(folder / "whole.json"));

  const std::string kept = content_of(folder / "part2");
  folder.write("torn", kept.substr(0, kept.size() - 9));
  REQUIRE(survey(folder, {"--keep", "torn", "--json", "resumed.json"}).status == 0);
  CHECK(content_of(folder / "resumed.json") == content_of(folder / "whole.json"));
}

TEST_CASE("what can't be surveyed or put together is refused in one line") {
  const Folder folder;
  folder.write("cell.toml", cell);
  REQUIRE(survey(folder, {"--slice", "1/3", "--keep", "part1"}).status == 0);
  folder.write("other", "no survey\n");
  const auto refused = [&](const std::vector<std::string>& options, const std::string& why) {
    const Answer answer = survey(folder, options);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(answer.output.empty());
    CHECK(std::count(answer.error.begin(), answer.error.end(), '\n') == 1);
    CHECK(answer.error.find(why) != std::string::npos);
  };
  refused({"--slice", "4/3", "--keep", "x"}, "K from 1 to N");
  refused({"--slice", "1/3"}, "add --keep");
  refused({"--slice", "1/3", "--keep", "x", "--json", "y"}, "--join");
  refused({"--join", "part1"}, "30 of 45 spots");
  refused({"--join", "."}, "is no file");
  refused({"--keep", "/dev/full"}, "is no file");
  refused({"--keep", "other"}, "holds no kept survey");
  std::string earlier = content_of(folder / "part1");
  earlier.replace(earlier.find("\"cellproof_survey\":2"), 20, "\"cellproof_survey\":1");
  folder.write("earlier", earlier);
  refused({"--keep", "earlier"}, "by an earlier version");
  refused({"--join", "earlier"}, "name another file, and all are proved anew");
  folder.write("cell.toml", cell + "# measured again\n");
  refused({"--keep", "part1"}, "changed since");
  CHECK(run(folder, {"survey", "cell.toml", "spot"}).error.find("no survey 'spot'") != std::string::npos);
  CHECK_FALSE(fs::exists(folder / "x"));
  CHECK_FALSE(fs::exists(folder / "y"));
}
