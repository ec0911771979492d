// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/pair_rules.hpp"

#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string things = head + body_text("forearm", "link3", "{}", "box = [10, 10, 10]") +
                           body_text("palm", "flange", "{}", "box = [10, 10, 10]") +
                           body_text("table", "world", "{}", "box = [10, 10, 10]") +
                           body_text("door", "world", "{}", "box = [10, 10, 10]") + R"(
[[seat]]
name = "rack"
on = "table"
grid = { columns = 2, rows = 1, pitch = [100, 100] }
[[part]]
name = "brick"
box = [8, 8, 8]
seat = "@slot"
[[body]]
name = "knob"
on = "brick"
box = [2, 2, 2]
[cycle]
start = [0, 0, 0, 0, -90, 0]
each = { "@slot" = "rack" }
[rules]
clearance = 5
)";

std::string least(const std::string& a, const std::string& b, double mm) {
  return fmt::format("[[clearance]]\nbetween = [\"{}\", \"{}\"]\nleast = {}\n", a, b, mm);
}
std::string contact(const std::string& a, const std::string& b) {
  return fmt::format("[[contact]]\nbetween = [\"{}\", \"{}\"]\n", a, b);
}

/// The least distance asked, -1 for a contact.
double asked(const std::string& rules, const std::string& a, const std::string& b) {
  const Scene scene = scene_of(things + rules);
  const PairRule one = rule_of_pair(scene, body_named(scene, a), body_named(scene, b));
  const PairRule other = rule_of_pair(scene, body_named(scene, b), body_named(scene, a));
  CHECK(one.least_mm == other.least_mm);
  return one.least_mm.value_or(-1);
}

}  // namespace

TEST_CASE("without a rule of its own a pair owes the general clearance") {
  CHECK(asked("", "palm", "table") == 5);
  CHECK(asked(least("forearm", "table", 9), "palm", "table") == 5);
}

TEST_CASE("two names come before a name and a word, that before two words, in any order of writing") {
  const std::string words = least("end effector", "surroundings", 7), mixed = least("surroundings", "palm", 11),
                    names = least("palm", "table", 13);
  CHECK(asked(words, "palm", "table") == 7);
  CHECK(asked(words + mixed, "palm", "table") == 11);
  CHECK(asked(mixed + words, "palm", "table") == 11);
  CHECK(asked(names + mixed + words, "palm", "table") == 13);
  CHECK(asked(words + mixed + names, "palm", "table") == 13);
  CHECK(asked(words + mixed + names, "palm", "door") == 11);
  CHECK(asked(words + mixed + names, "forearm", "door") == 5);
}

TEST_CASE("a contact frees a pair, unless a clearance names it more closely") {
  CHECK(asked(contact("end effector", "surroundings"), "palm", "table") == -1);
  CHECK(asked(contact("end effector", "surroundings") + least("palm", "table", 3), "palm", "table") == 3);
  CHECK(asked(contact("palm", "surroundings") + least("end effector", "surroundings", 3), "palm", "table") == -1);
  CHECK(asked(contact("palm", "table") + least("palm", "table", 3), "palm", "table") == -1);
  CHECK(asked(contact("palm", "table"), "palm", "door") == 5);
}

TEST_CASE("the word on both sides means pairs of that kind") {
  CHECK(asked(least("surroundings", "surroundings", 2), "door", "table") == 2);
  CHECK(asked(least("surroundings", "surroundings", 2), "door", "palm") == 5);
}

TEST_CASE("a part's name speaks for what rides on it and for its copies, and is of no kind") {
  const std::string rule = least("brick", "door", 17);
  CHECK(asked(rule, "brick", "door") == 17);
  CHECK(asked(rule, "knob", "door") == 17);
  CHECK(asked(rule, "brick @ rack 2", "door") == 17);
  CHECK(asked(rule, "knob @ rack 2", "door") == 17);
  CHECK(asked(least("knob", "door", 4), "knob", "door") == 4);
  CHECK(asked(least("surroundings", "palm", 4), "brick", "palm") == 5);
  CHECK(asked(least("end effector", "door", 4), "brick", "door") == 5);
}
