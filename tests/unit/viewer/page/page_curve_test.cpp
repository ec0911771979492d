// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page_curve.hpp"

#include <algorithm>
#include <sstream>

#include "tests/support/passing_hand.hpp"
#include "tests/unit/viewer/markup.hpp"

using namespace cellproof;
using test::Element;
using test::markup_of;

namespace {

struct Drawn {
  Timeline timeline;
  GapPlot plot;
  test::Markup svg;
};

const Drawn& passing_curve() {
  static const Drawn drawn = [] {
    const Proof proof = test::proved_with_curves(test::passing_hand);
    const Timeline timeline = timeline_of(proof, 0);
    const GapPlot plot = gap_plot(proof, timeline);
    return Drawn{timeline, plot, markup_of(curve_svg(timeline, plot))};
  }();
  return drawn;
}

const Element& of_class(const std::vector<Element>& elements, const std::string& name) {
  const auto found = std::find_if(elements.begin(), elements.end(),
                                  [&](const Element& element) { return element.attributes.at("class") == name; });
  REQUIRE(found != elements.end());
  return *found;
}

double number(const Element& element, const char* attribute) {
  return std::stod(element.attributes.at(attribute));
}

}  // namespace

TEST_CASE("the curve's lowest point is the least gap, on the scale that the rule's line is drawn to") {
  const Drawn& drawn = passing_curve();
  const auto lines = drawn.svg.named("line");
  // The first grid line is at zero.
  const double zero = number(of_class(lines, "grid"), "y1"), rule = number(of_class(lines, "rule"), "y1");
  const double mm = (zero - rule) / drawn.plot.rule_mm;
  // "M x yH x L x yH x …"
  std::string path = of_class(drawn.svg.named("path"), "bound").attributes.at("d");
  std::replace_if(
      path.begin(), path.end(), [](char c) { return c == 'M' || c == 'L'; }, '\n');
  std::istringstream pieces(path);
  double lowest = 0, x = 0, y = 0;
  std::string rest;
  while (pieces >> x >> y && std::getline(pieces, rest)) lowest = std::max(lowest, y);
  CHECK((zero - lowest) / mm == Approx(*drawn.plot.least_mm).margin(0.1 / mm));
}

TEST_CASE("each step of the cell file has its line, and each finding its mark") {
  const Drawn& drawn = passing_curve();
  long steps = 0, fails = 0;
  for (const Element& line : drawn.svg.named("line")) steps += line.attributes.at("class") == "step";
  for (const Element& path : drawn.svg.named("path")) fails += path.attributes.at("class") == "fails";
  CHECK(steps == static_cast<long>(drawn.timeline.steps.size()));
  CHECK(fails == std::count_if(drawn.timeline.marks.begin(), drawn.timeline.marks.end(),
                               [](const TimelineMark& mark) { return mark.severity == Severity::fail; }));
  CHECK(fails > 0);
}

TEST_CASE("where nothing moves there is no curve") {
  CHECK(curve_svg({}, {}).empty());
}
