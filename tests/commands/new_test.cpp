// SPDX-License-Identifier: GPL-3.0-or-later
// The starter cell: it passes as it stands, and it overwrites nothing.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

TEST_CASE("a starter cell passes its check without a finding") {
  const Folder folder;
  CHECK(run(folder, {"new", "cell.toml"}).status == 0);
  const json report = json_of(run(folder, {"check", "cell.toml", "--json", "-"}));
  CHECK(report.at("verdict") == "pass");
  CHECK(report.at("findings").empty());
  CHECK(report.at("views").size() == 1);
  const std::string text = content_of(folder / "cell.toml");
  for (const std::string table : {"[arm]", "[[body]]", "[[seat]]", "[[part]]", "[[tcp]]", "[[suction]]", "[[camera]]",
                                  "[[target]]", "[cycle]", "[[step]]", "[rules]", "[[clearance]]"}) {
    INFO(table);
    CHECK(text.find("\n" + table) != std::string::npos);
  }
}

TEST_CASE("a starter cell overwrites nothing and leaves nothing half written") {
  const Folder folder;
  folder.write("mine.toml", "my own");
  fs::create_symlink("nowhere", folder / "link.toml");
  for (const std::string file : {"mine.toml", "link.toml", "."}) {
    const Answer answer = run(folder, {"new", file});
    INFO(file << ": " << answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find("is there already") != std::string::npos);
  }
  CHECK(run(folder, {"new", "no/such/folder.toml"}).status == 2);
  CHECK(content_of(folder / "mine.toml") == "my own");
  CHECK(folder.count() == 2);
}
