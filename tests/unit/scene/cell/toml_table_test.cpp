// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/toml_table.hpp"

#include <stdexcept>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("the nearest word is at most two edits away, a swap counting as one") {
  CHECK(nearest_word("sped", {"speed", "spread"}) == "speed");
  CHECK(nearest_word("wiat", {"seat", "wait"}) == "wait");
  CHECK(nearest_word("acceleraton", {"acceleration"}) == "acceleration");
  CHECK(nearest_word("colour", {"name", "mass"}).empty());
  CHECK(nearest_word("xy", {"on", "at"}).empty());  // a word wholly other, though two edits make it
  CHECK(nearest_word("", {"a"}).empty());
}

TEST_CASE("keys join by points, quoted where TOML would quote") {
  CHECK(joined_key("", "arm") == "arm");
  CHECK(joined_key("cycle.each", "@slot") == "cycle.each.\"@slot\"");
}

TEST_CASE("keys keep the order of the file and know their lines") {
  const auto tree = parse_toml("b = 1\n\"@a\" = 2\na = { z = 1,\n# between\ny = 2 }\n");
  CHECK_FALSE(tree);  // TOML 1.0: no line break in an inline table
  CHECK(tree.error().line >= 3);
  const auto good = parse_toml("b = 1\n\na = [1,\n 2]\n[c]\n").value();
  const auto& keys = std::get<TomlKeys>(good.value);
  REQUIRE(keys.size() == 3);
  CHECK(keys[0].key == "b");
  CHECK(keys[1].value.line == 3);
  CHECK(std::get<TomlList>(keys[1].value.value).at(1).line == 4);
  CHECK(keys[2].value.line == 5);
}

TEST_CASE("only the first error stays, and a missing value reads as zero") {
  const auto tree = parse_toml("a = 1\n").value();
  Reading reading;
  const TomlTable table(reading, &tree, Origin{1, ""}, {"a", "b", "c"});
  CHECK(table.required("b").quantity(Kind::length) == 0);
  CHECK(table.required("c").text().empty());
  REQUIRE(reading.failed());
  CHECK(reading.error->key == "b");
  CHECK(table.required("a").number() == 1);
}

TEST_CASE("asking for a key that was not declared is a bug and throws") {
  const auto tree = parse_toml("a = 1\n").value();
  Reading reading;
  const TomlTable table(reading, &tree, Origin{1, ""}, {"a"});
  CHECK_THROWS_AS(table.has("b"), std::logic_error);
}
