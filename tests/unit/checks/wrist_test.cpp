// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/support/grip_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// The small cell's arm with a payload and a cylinder of 2 kg on the flange; it holds 1.0125 kg of block.
std::string with_payload(const std::string& payload) {
  GripCell cell;
  cell.to = "[790, 20, 1000]";
  std::string text = cell.text();
  text.insert(text.find("[rules]"), "payload = " + payload + "\n");
  return text +
         body_text("gripper", "flange", "{ xyz = [0, 0, 60] }", "cylinder = { radius = 50, height = 60 }\nmass = 2");
}

const WristFigure& heaviest(const Report& report) {
  REQUIRE_FALSE(report.wrist.empty());
  return *std::max_element(report.wrist.begin(), report.wrist.end(),
                           [](const auto& a, const auto& b) { return a.mass_kg < b.mass_kg; });
}

}  // namespace

TEST_CASE("the wrist carries gripper and block at their common centre") {
  // derived: 2 kg at 60 and 1.0125 kg at 112.5 from the flange; axis 5 is 100 before it, axis 6 goes through both
  const Report report = proved(with_payload("{ mass = 5 }")).report;
  const WristFigure& wrist = heaviest(report);
  const double kg = 3.0125, centre = (2 * 60 + 1.0125 * 112.5) / kg;
  CHECK(wrist.mass_kg == Approx(kg));
  CHECK(wrist.offset_mm == Approx(centre));
  REQUIRE(wrist.axes.size() == 3);
  CHECK(wrist.axes[1].axis == 5);
  CHECK(wrist.axes[1].moment_nm == Approx(kg * 9.80665 * (centre + 100) / 1000));
  CHECK(wrist.axes[2].moment_nm == Approx(0).margin(1e-6));
  CHECK(fails_of(report, "wrist").empty());
}

TEST_CASE("each limit of the payload fails by itself and says by how much") {
  for (const auto& [payload, what] : {std::pair{"{ mass = 3 }", "mass: 3.01"},
                                      std::pair{"{ axes = [ { axis = 5, moment = 5 } ] }", "moment about axis 5"},
                                      std::pair{"{ axes = [ { axis = 6, inertia = 1e-4 } ] }", "inertia about axis 6"},
                                      std::pair{"{ offsets = [ [0, 3], [100, 2] ] }", "mass with its centre"},
                                      std::pair{"{ offsets = [ [0, 10], [50, 8] ] }", "0 kg allowed"}}) {
    const auto fails = fails_of(proved(with_payload(payload)).report, "wrist");
    INFO(payload);
    REQUIRE_FALSE(fails.empty());
    CHECK(fails.front().message.find(what) != std::string::npos);
    CHECK(fails.front().judged->measured > fails.front().judged->required.value());
    CHECK_FALSE(fails.front().mend.empty());
  }
}

TEST_CASE("a body without mass or density leaves the wrist open, and is named") {
  std::string text = with_payload("{ mass = 5 }");
  text.erase(text.find("\nmass = 2"), 9);
  const Report report = proved(text).report;
  for (const auto& wrist : report.wrist) CHECK(wrist.mass_kg < 0);  // none
  REQUIRE_FALSE(report.not_computed.empty());
  std::string all;
  for (const auto& line : report.not_computed) all += line + "\n";
  CHECK(all.find("wrist: mass, moment and inertia carried: neither mass nor density: 'gripper'") != std::string::npos);
  CHECK(all.find("joint torques: no body: 'link1'") != std::string::npos);
}

TEST_CASE("torques at rest are those of the weights, where every link has a mass") {
  // derived: at rest in the stretched pose joint 2 carries every weight at its horizontal distance from axis 2
  std::string text = head;
  for (int link = 1; link <= 6; ++link)
    text +=
        body_text(fmt::format("l{}", link), fmt::format("link{}", link), "{}", "sphere = { radius = 20 }\nmass = 1");
  text += cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nwait = 1\n";
  const Report report = proved(text).report;
  REQUIRE(report.torques.size() == 6);
  const auto frames = arm_frames(cell_of(head).arm.arm, in_degrees(0, 0, 0, 0, -90, 0));
  double moment = 0;
  for (std::size_t link = 2; link <= 6; ++link)
    moment += 9.80665 * (frames.link_in_base[link].translation().x() - 150) / 1000;
  CHECK(report.torques[1].torque_nm == Approx(std::abs(moment)).epsilon(1e-9));
  CHECK(report.torques[0].torque_nm == Approx(0).margin(1e-9));
}
