// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/report_sentences.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

GripFigure grip(const char* run, const char* part, double factor) {
  GripFigure figure;
  figure.run = run;
  figure.part = part;
  figure.tcp = "cups";
  figure.step = "draw in";
  figure.force_n = 96.5;
  figure.factor = figure.slip = factor;
  figure.time_s = 2.5;
  return figure;
}

WristFigure load(const char* step, double mass_kg, double moment_nm) {
  WristFigure figure;
  figure.step = step;
  figure.mass_kg = mass_kg;
  figure.offset_mm = 60;
  figure.axes = {{4, moment_nm, 0.1}};
  return figure;
}

}  // namespace

TEST_CASE("a grip is told by the run where it holds least, each part and tool once") {
  Report report;
  report.grips = {grip("rack 1", "board", 7.98), grip("rack 2", "board", 6.54), grip("rack 1", "milled board", 8.76)};
  const auto sentences = grip_sentences(report);
  REQUIRE(sentences.size() == 2);
  CHECK(sentences[0] ==
        "'board' in 'cups': 96.5 N, held 6.54 times at the least, at 2.50 s in \"draw in\" of rack 2, slip 6.54");
  CHECK(sentences[1].find("of rack 1") != std::string::npos);
}

TEST_CASE("a grip at which nothing pulls is not told before one at which something does") {
  Report report;
  report.grips = {grip("", "board", 0), grip("", "board", 3)};
  report.grips[0].factor.reset();
  REQUIRE(grip_sentences(report).size() == 1);
  CHECK(grip_sentences(report)[0].find("held 3.00 times") != std::string::npos);
}

TEST_CASE("the wrist's mass is the heaviest, its moments the greatest of all steps") {
  Report report;
  report.wrist = {load("light but far", 1.5, 5), load("heavy", 2.5, 4)};
  const auto sentences = wrist_sentences(report);
  REQUIRE(sentences.size() == 1);
  CHECK(sentences[0] == "2.500 kg in \"heavy\", its centre 60.0 mm from the flange; axis 4: 5.00 N m, 0.1000 kg m^2");
  CHECK(wrist_sentences({}).empty());
}

TEST_CASE("a supply of vacuum in one sentence") {
  Report report;
  SupplyFigure supply;
  supply.name = "ejector";
  supply.reached_kpa = 84.29;
  supply.counted_kpa = 60;
  supply.evacuation_s = 0.53;
  supply.timeout_s = 0.8;
  supply.held_after_loss_s = 4.1;
  supply.weakest_factor = 2.3;
  supply.weakest = SupplyFigure::Place{"", "", "carry", 3.2};
  supply.needed_to_lay_down_s = 1.9;
  supply.furthest = SupplyFigure::Place{"", "", "lift", 1.5};
  supply.air_litres = 2.14;
  report.supplies = {supply};
  CHECK(supply_sentences(report) ==
        std::vector<std::string>{"'ejector': reaches 84.3 kPa, 60.0 kPa counted on, there after 0.53 s (let the "
                                 "controller give up after 0.8 s); after a loss a part is kept 4.10 s (held 2.30 times "
                                 "at \"carry\"); laying it down takes 1.90 s at most, from \"lift\", 1.50 s; 2.14 L of "
                                 "free air a cycle"});
  // Without a leak there is no end to it.
  report.supplies[0].held_after_loss_s.reset();
  CHECK(supply_sentences(report)[0].find("kept, as nothing leaks") != std::string::npos);
}
