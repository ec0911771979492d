// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/id.hpp"

#include <string>
#include <type_traits>
#include <unordered_set>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

struct Door {
  std::string name;
};
struct Window {
  std::string name;
};
using DoorId = Id<Door>;
using WindowId = Id<Window>;
using Doors = Table<DoorId, Door>;

static_assert(!std::is_convertible_v<DoorId, WindowId> && !std::is_constructible_v<DoorId, WindowId>);
static_assert(!std::is_convertible_v<int, DoorId> && !std::is_convertible_v<DoorId, std::size_t>);
static_assert(!std::is_invocable_v<decltype([](auto& doors, auto id) -> decltype(doors[id]) { return doors[id]; }),
                                   Doors&, WindowId>);

}  // namespace

TEST_CASE("An id is none until it is given a number, and none comes before all others") {
  CHECK_FALSE(DoorId{});
  CHECK(DoorId(0));
  CHECK(DoorId{} < DoorId(0));
  CHECK(DoorId(1) < DoorId(2));
  CHECK(DoorId(3) == DoorId(3));
  CHECK(DoorId{} == DoorId{});
  CHECK(std::unordered_set<DoorId>{DoorId{}, DoorId(0), DoorId(7), DoorId(7)}.size() == 3);
}

TEST_CASE("A table is walked by its ids and searched by name") {
  Doors doors{{"front"}, {"back"}};
  doors.push_back({"cellar"});
  CHECK(doors.last_id() == DoorId(2));
  std::string names;
  for (const DoorId id : ids_of(doors)) names += doors[id].name + " ";
  CHECK(names == "front back cellar ");
  CHECK(id_named(doors, "back") == DoorId(1));
  CHECK_FALSE(id_named(doors, "attic"));
  for ([[maybe_unused]] const DoorId id : ids_of(Doors{})) FAIL("an empty table has an id");
}
