// SPDX-License-Identifier: GPL-3.0-or-later
// What the mend of one finding clears beside it.
#include "checks/roots.hpp"

#include <algorithm>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// The hand looks down 790 mm from base z and swings about it; palm and camera end 991 and 989 mm above the floor.
std::string swing_over(const std::string& posts) {
  return head + body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 78]") +
         body_text("camera", "flange", "{ xyz = [0, 60, 42] }", "box = [20, 20, 78]") + posts +
         cycle_from("-40, 0, 0, 0, -90, 0") + joint_move("40, 0, 0, 0, -90, 0");
}

std::string post(const std::string& name, double y, double top) {
  return body_text(name, "world", fmt::format("{{ xyz = [{}, {}, {}] }}", std::sqrt(790. * 790 - y * y), y, top - 50),
                   "box = [30, 30, 100]");
}

}  // namespace

TEST_CASE("one post in the way of two bodies is one thing to mend: what clears one by a little more clears both") {
  const Report report = proof_of(swing_over(post("post", 0, 993))).report;
  const auto fails = fails_of(report, "clearance");
  INFO(report.findings[0].mend << "; " << report.findings[1].mend);
  REQUIRE(fails.size() == 2);
  const auto camera = std::ranges::find_if(
      report.findings, [](const Finding& finding) { return std::ranges::count(finding.between, "camera") > 0; });
  const auto palm = std::ranges::find_if(
      report.findings, [](const Finding& finding) { return std::ranges::count(finding.between, "palm") > 0; });
  CHECK_FALSE(palm->follows_from);
  CHECK(camera->follows_from == static_cast<std::size_t>(palm - report.findings.begin()));
  CHECK_THAT(palm->mend, Catch::Matchers::Contains("'post' clears what goes with this too"));
}

TEST_CASE("two posts are two things to mend") {
  const Report report = proof_of(swing_over(post("first post", -200, 993) + post("second post", 200, 993))).report;
  CHECK(fails_of(report, "clearance").size() == 4);
  std::size_t roots = 0;
  for (const Finding& finding : report.findings) roots += finding.severity == Severity::fail && !finding.follows_from;
  CHECK(roots == 2);
}
