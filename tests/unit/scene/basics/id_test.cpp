// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/id.hpp"

#include <set>
#include <string>
#include <type_traits>
#include <unordered_set>

#include <catch2/catch.hpp>

#include "scene/basics/named_entry.hpp"

using namespace cellproof;

namespace {

struct Tool {
  std::string name;
};
struct Table {
  std::string name;
};

const std::vector<Tool> tools{{"cup"}, {"jaw"}, {"cup"}};

}  // namespace

TEST_CASE("an id names nothing until it is given an entry, and then tells its place") {
  const Id<Tool> none, first(0), third(2U);
  CHECK_FALSE(none);
  CHECK_FALSE(none.has_value());
  CHECK(first);
  CHECK(first.index() == 0);
  CHECK(third.index() == 2);
  CHECK(none == Id<Tool>{});
  CHECK(none != first);
}

TEST_CASE("ids of one list are no ids of another, and no numbers") {
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Id<Tool>, Id<Table>>);
  STATIC_REQUIRE_FALSE(std::is_constructible_v<Id<Tool>, Id<Table>>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<int, Id<Tool>>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Id<Tool>, int>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Id<Tool>, bool>);
}

TEST_CASE("none comes before all entries in order, and each has a hash of its own") {
  const std::set<Id<Tool>> ordered{Id<Tool>(1), Id<Tool>(), Id<Tool>(0)};
  CHECK(std::vector<Id<Tool>>(ordered.begin(), ordered.end()) ==
        std::vector<Id<Tool>>{Id<Tool>(), Id<Tool>(0), Id<Tool>(1)});
  CHECK(std::unordered_set<Id<Tool>>{Id<Tool>(1), Id<Tool>(), Id<Tool>(0), Id<Tool>(1)}.size() == 3);
}

TEST_CASE("the ids of a list go through it in order, those after an id behind it, and an empty list has none") {
  std::vector<std::size_t> all, later;
  for (const Id<Tool> id : ids_of(tools)) all.push_back(id.index());
  for (const Id<Tool> id : ids_after(Id<Tool>(0), tools)) later.push_back(id.index());
  CHECK(all == std::vector<std::size_t>{0, 1, 2});
  CHECK(later == std::vector<std::size_t>{1, 2});
  for ([[maybe_unused]] const Id<Tool> id : ids_after(Id<Tool>(2), tools)) FAIL("nothing comes after the last");
  for ([[maybe_unused]] const Id<Table> id : ids_of(std::vector<Table>{})) FAIL("an empty list has no ids");
}

TEST_CASE("of entries with one name the first is found, and none where there is none") {
  CHECK(id_named(tools, "cup") == Id<Tool>(0));
  CHECK(id_named(tools, "jaw") == Id<Tool>(1));
  CHECK_FALSE(id_named(tools, "hook"));
  CHECK_FALSE(id_named(tools, ""));
}

TEST_CASE("values by id are asked for and set by the entry's id") {
  ById<Tool, double> reach(tools.size(), 5);
  reach[Id<Tool>(1)] = 7;
  reach.push_back(9);
  CHECK(reach.size() == 4);
  CHECK(std::vector<double>(reach.begin(), reach.end()) == std::vector<double>{5, 7, 5, 9});
  double sum = 0;
  for (const Id<Tool> id : reach.ids()) sum += reach[id];
  CHECK(sum == 26);
  CHECK(ById<Tool, double>{}.empty());
}
