// SPDX-License-Identifier: GPL-3.0-or-later
// Zones that have to be clear while a door or a machine works. The arm stands with its flange at (790, 0, 1070) looking
// down (see small_cell.hpp); the hand is a box from there 100 mm down: x 770 to 810, y -20 to 20, z 970 to 1070.
#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string stands = "0, 0, 0, 0, -90, 0";

/// A door far away that shifts while the zone has to be clear.
std::string cell_text(const std::string& zone_on, const std::string& zone_at, const std::string& door_to) {
  return head + body_text("hand", "flange", "{ xyz = [0, 0, 50] }", "box = [40, 40, 100]") +
         body_text("door", "world", "{ xyz = [0, 3000, 500] }", "box = [900, 20, 900]") +
         fmt::format("[[zone]]\nname = \"inside\"\non = \"{}\"\nat = {{ xyz = {} }}\nbox = [200, 200, 200]\n", zone_on,
                     zone_at) +
         cycle_from(stands) +
         fmt::format("[[step]]\nshift = \"door\"\nto = {{ xyz = {} }}\ntime = \"2 s\"\nclear = \"inside\"\n", door_to);
}

std::vector<Finding> zone_findings(const std::string& text) {
  return fails_of(proof_of(text).report, "sequence");
}

}  // namespace

TEST_CASE("a hand that reaches into the zone fails, with the shortest way out") {
  // Given a zone whose top face lies at z = 980, 10 mm above the hand's lower end, and a door that stays in its plane.
  const auto found = zone_findings(cell_text("world", "[790, 0, 880]", "[0, 3500, 500]"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].between == std::vector<std::string>{"hand", "inside"});
  CHECK(found[0].judged->measured == Approx(-10).margin(1e-6));
}

TEST_CASE("a hand beside the zone, or touching it from outside, passes") {
  CHECK(zone_findings(cell_text("world", "[790, 0, 860]", "[0, 3500, 500]")).empty());  // 10 mm below the hand
  CHECK(zone_findings(cell_text("world", "[790, 0, 870]", "[0, 3500, 500]")).empty());  // face on face
}

TEST_CASE("a hand wholly inside the zone fails too") {
  std::string text = cell_text("world", "[790, 0, 1020]", "[0, 3500, 500]");
  const std::string small = "box = [200, 200, 200]";
  text.replace(text.find(small), small.size(), "box = [600, 600, 600]");
  const auto found = zone_findings(text);
  REQUIRE(found.size() == 1);
  CHECK(found[0].judged->measured == Approx(-320).margin(1e-6));  // sideways: half the zone and half the hand
}

TEST_CASE("a zone that rides on what shifts is looked at all the way") {
  // Given a zone 3000 mm beside the hand at the start and at the end; on the way the door carries it past the hand.
  const auto found = zone_findings(cell_text("door", "[790, 0, 520]", "[0, -3000, 500]"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].time_s > 0.5);
  CHECK(found[0].time_s < 1.5);
}
