// SPDX-License-Identifier: GPL-3.0-or-later
// A [[contact]] or [[clearance]] that no checked pair answers to is told.
#include "tests/support/vise_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::vector<std::string> idle(const std::string& rules) {
  ViseCell cell;
  cell.more = rules;
  std::vector<std::string> messages;
  for (const Finding& finding : findings_of(proved(cell.text()).report, "model"))
    if (finding.message.find("has no effect") != std::string::npos) {
      CHECK(finding.severity == Severity::caution);
      messages.push_back(finding.message);
    }
  return messages;
}

std::string contact(const std::string& a, const std::string& b) {
  return fmt::format("[[contact]]\nbetween = [\"{}\", \"{}\"]\n", a, b);
}

std::string least(const std::string& a, const std::string& b) {
  return fmt::format("[[clearance]]\nbetween = [\"{}\", \"{}\"]\nleast = 1\n", a, b);
}

}  // namespace

TEST_CASE("rules that name checked pairs are left alone, whether they free them or ask for more") {
  CHECK(idle("").empty());
  CHECK(idle(contact("left finger", "right finger")).empty());  // they move against each other as the tool closes
  CHECK(idle(contact("left jaw", "right jaw")).empty());        // and these as the vise does
  CHECK(idle(contact("bar", "bed") + least("bar", "stand") + least("end effector", "surroundings")).empty());
  CHECK(idle(least("bed", "stand")).empty());  // of surroundings among themselves, asked for because it is named
}

TEST_CASE("rules about what never moves against each other, or is never checked, are told with their line") {
  const auto freed = idle(contact("bed", "stand"));
  REQUIRE(freed.size() == 1);
  CHECK_THAT(freed[0],
             Catch::Contains("[[contact]] in line ") && Catch::Contains("'bed'") && Catch::Contains("'stand'"));
  const std::string camera = body_text("camera", "flange", "{ xyz = [0, 90, 20] }", "box = [10, 10, 10]") +
                             body_text("bracket", "flange", "{ xyz = [0, 70, 20] }", "box = [10, 10, 10]");
  const auto apart = idle(camera + least("camera", "bracket"));
  REQUIRE(apart.size() == 1);
  CHECK_THAT(apart[0], Catch::Contains("[[clearance]] in line "));
  CHECK(idle(contact("arm", "arm")).size() == 1);  // without bodies there is no arm to speak of
}
