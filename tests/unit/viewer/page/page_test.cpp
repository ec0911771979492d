// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page.hpp"

#include <algorithm>

#include "tests/support/passing_hand.hpp"
#include "tests/unit/viewer/markup.hpp"

using namespace cellproof;
using test::Element;
using test::Markup;
using test::markup_of;

namespace {

/// The block hangs 3 mm over the post (derived, see passing_hand.hpp) and the default rule is 5 mm.
const Markup& failing_page() {
  static const Markup page = markup_of(page_of(test::proved_with_curves(test::passing_hand)));
  return page;
}

std::string with(std::string text, const std::string& what, const std::string& instead) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), instead);
}

std::vector<std::string> headings(const Markup& page) {
  std::vector<std::string> words;
  for (const Element& heading : page.named("h2")) words.push_back(heading.text);
  return words;
}

bool has_heading(const Markup& page, const std::string& words) {
  const auto all = headings(page);
  return std::find(all.begin(), all.end(), words) != all.end();
}

}  // namespace

TEST_CASE("a page fetches nothing and runs nothing: every picture is within") {
  const std::string page = page_of(test::proved_with_curves(test::passing_hand));
  CHECK(page.find("http") == std::string::npos);
  CHECK(page.find("<script") == std::string::npos);
  CHECK(page.find("url(") == std::string::npos);
  const auto pictures = failing_page().named("img");
  REQUIRE_FALSE(pictures.empty());
  for (const Element& picture : pictures) {
    CHECK(picture.attributes.at("src").rfind("data:image/png;base64,iVBORw0KGgo", 0) == 0);  // a PNG's first bytes
    CHECK_FALSE(picture.attributes.at("alt").empty());
  }
}

TEST_CASE("what fails stands on the page with its change, the whole cell and the two bodies close up") {
  const Proof proof = test::proved_with_curves(test::passing_hand);
  const auto fails = test::fails_of(proof.report, "clearance");
  REQUIRE(fails.size() == 2);  // there and back; the worse of the two is told
  const Finding& worse = fails[0].judged->measured <= fails[1].judged->measured ? fails[0] : fails[1];
  const Markup& page = failing_page();
  CHECK(page.named("p").front().text.rfind("FAIL, 1 thing to change", 0) == 0);
  CHECK(page.named("title").front().text.find("FAIL") != std::string::npos);
  CHECK(page.says(worse.message));
  CHECK(page.says("Change: " + worse.mend));
  CHECK(page.named("img").size() == 2);
  CHECK(page.named("img")[1].attributes.at("alt") == "the two bodies, close up");
  CHECK(has_heading(page, "Fails"));
  CHECK_FALSE(has_heading(page, "Where it is tightest"));
}

TEST_CASE("every step, every caution and what is not computed stand on the page") {
  const Proof proof = test::proved_with_curves(test::passing_hand);
  for (const StepFigure& step : proof.report.steps) CHECK(failing_page().says(step.name));
  for (const std::string& caution : proof.report.cautions) CHECK(failing_page().says(caution));
  for (const std::string& missing : proof.report.not_computed) CHECK(failing_page().says(missing));
  for (const BodyFigure& body : proof.report.bodies) CHECK(failing_page().says(body.name));
}

TEST_CASE("a page of a cycle that passes shows where it is tightest") {
  const std::string higher = with(test::passing_hand, "at = { xyz = [0, 0, 30] }", "at = { xyz = [0, 0, 24] }");
  const Proof proof = test::proved_with_curves(higher);
  REQUIRE(proof.report.pass);
  const Markup page = markup_of(page_of(proof));
  CHECK(page.named("p").front().text == "PASS");
  CHECK(has_heading(page, "Where it is tightest"));
  CHECK(page.named("img").size() == 2);
}

TEST_CASE("names that look like markup stay names") {
  const std::string odd = with(with(test::passing_hand, "name = \"swing\"", "name = \"<i>swing & \\\"sway\\\"\""),
                               "name = \"post\"", "name = \"post </td> <x>\"");
  const std::string proof_text = with(odd, "on = \"post\"", "on = \"post </td> <x>\"");
  const Markup page = markup_of(page_of(test::proved_with_curves(proof_text)));
  CHECK(page.says("<i>swing & \"sway\""));
  CHECK(page.says("post </td> <x>"));
  CHECK(page.named("i").empty());
  CHECK(page.named("x").empty());
}

TEST_CASE("a cycle that can't be run to its end has a page that says where it stops") {
  const std::string beyond = with(test::passing_hand, "to = { joints = [30, 0, 0, 0, -90, 0] }",
                                  "to = { tcp = \"tip\", at = { xyz = [9000, 0, 0] } }") +
                             "[[tcp]]\nname = \"tip\"\n";
  Run run;
  run.curves = true;
  const auto proof = prove(test::cell_of(beyond), run);
  REQUIRE(proof);
  const Markup page = markup_of(page_of(*proof));
  CHECK(page.says("The cycle stops at \"swing\", which can't be run."));
  CHECK(page.named("img").size() == 1);  // the cell where it stops
}

TEST_CASE("a cycle without a step has a page") {
  const Markup page =
      markup_of(page_of(test::proved_with_curves(test::head + "[cycle]\nstart = [0, 0, 0, 0, -90, 0]\n")));
  CHECK(page.named("h1").size() == 1);
  CHECK(page.named("svg").empty());
}
