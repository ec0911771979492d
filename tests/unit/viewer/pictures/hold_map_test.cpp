// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/hold_map.hpp"

#include "tests/support/hold_cell.hpp"
#include "viewer/pictures/palette.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::string trouble(const HoldCell& cell) {
  const Proof proof = proved(cell.text());
  const auto map = hold_map_of(*proof.scene, proof.cycle->runs.front(), HoldId(0));
  return map ? std::string() : map.error();
}

/// To within two of 255, as drawing rounds otherwise than packing.
long pixels_of(const Image& image, const Colour& colour) {
  const std::uint32_t wanted = packed(colour);
  return std::ranges::count_if(image.pixels, [&](std::uint32_t pixel) {
    const auto near = [&](int shift) {
      return std::abs(static_cast<int>((pixel >> shift) & 0xff) - static_cast<int>((wanted >> shift) & 0xff)) <= 2;
    };
    return near(0) && near(8) && near(16);
  });
}

}  // namespace

TEST_CASE("a fixture's map shows the worst cut, rests, and what is held in another colour than what is not") {
  HoldCell cell;
  cell.rests = "rests = [[-70, -45], [70, -45], [0, 45]]\n";
  cell.cut = "cut = { side_force = 70, lift_force = 20, height = 20, " + cell.over + " }\n";
  const Proof proof = proved(cell.text());
  const auto map = hold_map_of(*proof.scene, proof.cycle->runs.front(), HoldId(0));
  REQUIRE(map);
  CHECK(map->measure.factor == Approx(*proof.report.holds.front().factor));
  const Image image = render_hold_map(*map);
  CHECK(image.width == 1280);
  // derived: a disk of 0.4 x 14 pixels' radius has 98, an arrow of 4.5 x 14 length and 3 width 189 with its soft rims
  CHECK(pixels_of(image, palette::marked) > 150);
  CHECK(pixels_of(image, palette::part) > 1000);
}

TEST_CASE("what is held less often than asked is red in the map, and what is held as often is not") {
  HoldCell cell;
  cell.rests = "rests = [[-70, -45], [70, -45], [0, 45]]\n";
  const auto reds = [&](const std::string& asked) {
    cell.rules = "hold_factor = " + asked + "\n";
    const Proof proof = proved(cell.text());
    const auto map = hold_map_of(*proof.scene, proof.cycle->runs.front(), HoldId(0));
    REQUIRE(map);
    const Image image = render_hold_map(*map);
    return std::ranges::count_if(image.pixels, [](std::uint32_t pixel) {
      const int red = (pixel >> 16) & 0xff, blue = pixel & 0xff;
      return red > blue + 40;
    });
  };
  // derived: the part's 150 mm take more than 1000 of the 1280 pixels, so `over`, 60 x 40 mm, more than 100,000
  CHECK(reds("100") > reds("0.1") + 100'000);
}

TEST_CASE("a hold that has no map tells why") {
  HoldCell jaw;
  jaw.way = "jaw = \"vise jaws\"";
  jaw.more =
      "[[jaw]]\nname = \"vise jaws\"\non = \"fixture\"\nat = { xyz = [0, 0, 55] }\nforce = 1500\nfriction = 0.3\n";
  CHECK_THAT(trouble(jaw), Catch::Contains("by a jaw"));
  HoldCell idle;
  idle.cut = "";
  CHECK_THAT(trouble(idle), Catch::Contains("no `cut`"));
  HoldCell apart;
  apart.place = "";
  apart.pick_again = "";
  CHECK_THAT(trouble(apart), Catch::Contains("no step of this run takes it"));
}
