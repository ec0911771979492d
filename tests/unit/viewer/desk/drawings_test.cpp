// SPDX-License-Identifier: GPL-3.0-or-later
// The panels' drawings: what is drawn where, by colour, and what is under a pixel.
#include <catch2/catch.hpp>

#include "tests/support/passing_hand.hpp"
#include "viewer/desk/finding_cards.hpp"
#include "viewer/desk/panel_style.hpp"
#include "viewer/desk/readings.hpp"
#include "viewer/desk/timeline_strip.hpp"

using namespace cellproof;
using test::passing_proof;

namespace {

/// Pixels of a colour, to within a step of each of its parts.
long count(const Image& image, const Colour& colour) {
  const auto part = [](std::uint32_t pixel, int shift) { return static_cast<int>(pixel >> shift & 255U); };
  return std::ranges::count_if(image.pixels, [&, wanted = packed(colour)](std::uint32_t pixel) {
    return std::abs(part(pixel, 0) - part(wanted, 0)) < 2 && std::abs(part(pixel, 8) - part(wanted, 8)) < 2 &&
           std::abs(part(pixel, 16) - part(wanted, 16)) < 2;
  });
}

}  // namespace

TEST_CASE("The strip has a sign under each finding and tells which one is under a pixel") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  const Image strip = draw_strip({timeline, plot, 0, std::nullopt, LengthUnit::mm}, 1000, 140);
  CHECK(count(strip, panel::fails) > 20);
  REQUIRE_FALSE(timeline.marks.empty());
  int found = 0;
  for (int column = 0; column < 1000; ++column)
    if (finding_at_pixel(timeline, {static_cast<double>(column), 47}, 1000) == timeline.marks[0].finding) {
      ++found;
      CHECK(timeline.axis.place_of(timeline.marks[0].time_s) / timeline.axis.length() ==
            Approx(share_of_column(column, 1000)).margin(0.01));
    }
  CHECK(found > 5);
  CHECK_FALSE(finding_at_pixel(timeline, {500, 120}, 1000));
}

TEST_CASE("A column of the strip and its share of the line agree at both ends and beyond") {
  CHECK(share_of_column(-50, 1000) == 0);
  CHECK(share_of_column(500, 1000) == Approx(0.5));
  CHECK(share_of_column(2000, 1000) == 1);
}

TEST_CASE("Each group of findings has a card, one below the other, and scrolling moves them up") {
  Report report = passing_proof().report;  // the swing there and back, one group
  Finding caution;
  caution.check = Check::model;
  caution.severity = Severity::caution;
  caution.message = "the mesh of 'post' is not closed";
  report.findings.push_back(caution);
  const auto groups = gather(report.findings);
  REQUIRE(groups.size() == 2);
  CHECK(groups[0].all.size() == 2);
  const Cards cards = draw_cards({report, groups, std::nullopt, 0}, 330, 300);
  REQUIRE(cards.areas.size() == groups.size());
  CHECK(cards.areas[1].top > cards.areas[0].top + cards.areas[0].height);
  CHECK(card_at(cards, {100, cards.areas[1].top + 5}) == 1U);
  CHECK_FALSE(card_at(cards, {100, cards.list_height + 50}));
  const Cards scrolled = draw_cards({report, groups, std::nullopt, 40}, 330, 300);
  CHECK(scrolled.areas[0].top == Approx(cards.areas[0].top - 40));
  CHECK(scrolled.list_height == Approx(cards.list_height));
}

TEST_CASE("Words are broken between words, and a word that is too long stands alone") {
  Image image = blank_image(10, 10, panel::back);
  Canvas canvas(image);
  const Lettering lettering = panel::letters(12);
  const std::string words = "move the signal post 2.1 mm along world -y";
  const auto lines = panel::wrapped(canvas, words, lettering, 120);
  CHECK(lines.size() > 1);
  std::string joined;
  for (const auto& line : lines) {
    CHECK(canvas.width_of(line, lettering) <= 120);
    joined += (joined.empty() ? "" : " ") + line;
  }
  CHECK(joined == words);
  CHECK(panel::wrapped(canvas, "incomprehensibilities", lettering, 20).size() == 1);
  CHECK(canvas.width_of(shortened(canvas, words, lettering, 100), lettering) <= 100);
  CHECK(shortened(canvas, "post", lettering, 100) == "post");
  CHECK(shortened(canvas, words, lettering, 5).empty());
}

TEST_CASE("Readings mark a gap below its rule and a joint at its limit") {
  const Moment moment = moment_of(passing_proof(), 0, 0);
  std::optional<ClearanceFigure> gap = ClearanceFigure{};
  gap->lower_mm = 3;
  gap->between = {"hand", "post"};
  const auto drawn = [&](double rule_mm, const Moment& at) {
    return draw_readings({*passing_proof().scene, at, gap, true, rule_mm, LengthUnit::mm}, 330, 180);
  };
  CHECK(count(drawn(5, moment), panel::fails) > 10);
  CHECK(count(drawn(2, moment), panel::fails) == 0);
  CHECK(count(drawn(2, moment), panel::care) == 0);
  Moment at_limit = moment;
  at_limit.joints[2] = radians(170);  // its upper limit, see loader_arm.hpp
  CHECK(count(drawn(2, at_limit), panel::care) > 10);
}
