// SPDX-License-Identifier: GPL-3.0-or-later
// Room to the limits of joints and of sums of joints.
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("limits: the margin asked is kept or named, for joints and for sums of joints") {
  const auto limits = [](const std::string& more, const std::string& rules) {
    return findings_of(
        proof_of(head + more + rules + cycle_from("0, 0, 0, 0, -90, 0") + joint_move("0, 0, 0, 0, 121, 0")).report,
        "limits");
  };
  // Joint 5 goes to 121 of 125 deg.
  CHECK(limits("", "[rules]\nlimit_margin = 4\n").empty());
  const auto near = limits("", "[rules]\nlimit_margin = 4.5\n");
  REQUIRE(near.size() == 1);
  CHECK(near[0].judged->measured == Approx(4));
  CHECK(near[0].judged->required.value() == Approx(4.5));
  CHECK(near[0].message.find("joint 5") != std::string::npos);
  const auto sum = limits("limits = [ { sum = [0, 1, 0, 0, 1, 0], min = -100, max = 115 } ]\n", "");
  REQUIRE(sum.size() == 1);
  CHECK(sum[0].judged->measured == Approx(-6));
  CHECK(sum[0].message.find("sum") != std::string::npos);
}

TEST_CASE("limits: a cycle that starts beyond them is told to start further in, not to find another solution") {
  // Joint 5 starts at 130 of 125 deg and moves in.
  const auto limits =
      findings_of(proof_of(head + cycle_from("0, 0, 0, 0, 130, 0") + joint_move("0, 0, 0, 0, 90, 0")).report, "limits");
  REQUIRE(limits.size() == 1);
  CHECK(limits[0].judged->measured == Approx(-5));
  CHECK(limits[0].mend == "let the cycle's `start` be 5.00 deg further in");
}
