// SPDX-License-Identifier: GPL-3.0-or-later
// A supply of vacuum as the file states it, and what it gives its zones. Numbers are derived unless said otherwise.
#include "scene/cell/supply.hpp"

#include <cmath>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/suction_force.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

constexpr double kpa = 1000, litre = 1e6, litre_per_minute = 1e6 / 60;

const std::string zones = R"(
[[tcp]]
name = "cups"
suction = ["left", "right"]
[[suction]]
name = "left"
on = "flange"
circle = 15
friction = 0.5
supply = "ejector"
[[suction]]
name = "right"
on = "flange"
at = { xyz = [40, 0, 0] }
circle = 15
friction = 0.5
supply = "ejector"
volume = "20 mL"
)";

const std::string ejector = R"([[vacuum]]
name = "ejector"
flow = [["0 kPa", "60 L/min"], ["85 kPa", "0 L/min"]]
volume = "0.4 L"
hose = { length = 2000, bore = 6 }
leak = "0.5 L/min"
check_valve = true
switch = "60 kPa"
)";

std::string with(std::string text, const std::string& good, const std::string& other) {
  const auto place = text.find(good);
  if (place == std::string::npos) FAIL("not in the text: " << good);
  return text.replace(place, good.size(), other);
}

const Supply& only(const Cell& cell) {
  REQUIRE(cell.supplies.size() == 1);
  return cell.supplies.front();
}

void check_refused(const std::string& text, const std::string& key, const std::string& phrase) {
  const auto cell = read_cell_text(text, "cell.toml");
  INFO(phrase);
  REQUIRE_FALSE(cell);
  INFO(cell.error().text());
  CHECK(cell.error().key == key);
  CHECK(cell.error().line > 1);
  CHECK_FALSE(cell.error().mend.empty());
  CHECK_THAT(cell.error().text(), Catch::Contains(phrase));
}

/// The ejector with one line changed or left out.
void check_refused_ejector(const std::string& good, const std::string& bad, const std::string& key,
                           const std::string& phrase) {
  check_refused(head + zones + with(ejector, good, bad),
                key.empty() ? "vacuum \"ejector\"" : "vacuum \"ejector\"." + key, phrase);
}

const std::string flow = "flow = [[\"0 kPa\", \"60 L/min\"], [\"85 kPa\", \"0 L/min\"]]";

}  // namespace

TEST_CASE("a supply is read with all its keys") {
  const Cell cell = cell_of(head + zones + ejector);
  const Supply& supply = only(cell);
  CHECK(supply.name == "ejector");
  REQUIRE(supply.flow.size() == 2);
  CHECK(supply.flow[0].vacuum == 0);
  CHECK(supply.flow[0].flow == Approx(1e6));
  CHECK(supply.flow[1].vacuum == Approx(85 * kpa));
  CHECK(supply.flow[1].flow == 0);
  CHECK(supply.volume.value() == Approx(0.4 * litre));
  CHECK(supply.hose.value().length == 2000);
  CHECK(supply.hose.value().bore == 6);
  CHECK(supply.leak == Approx(0.5 * litre_per_minute));
  CHECK(supply.check_valve);
  CHECK(supply.switch_at.value() == Approx(60 * kpa));
  CHECK(cell.cautions.empty());
}

TEST_CASE("m^3/h is a unit of flow and cm^3 one of volume") {
  const Cell cell = cell_of(head + zones + with(with(ejector, "60 L/min", "3.6 m^3/h"), "\"0.4 L\"", "\"400 cm^3\""));
  CHECK(only(cell).flow[0].flow == Approx(1e6));
  CHECK(only(cell).volume.value() == Approx(0.4 * litre));
}

TEST_CASE("zones on a supply hold with its switch's vacuum, without one with 95 % of what is reached") {
  CHECK(cell_of(head + zones + ejector).suctions.at(1).vacuum == Approx(60 * kpa));
  // 60 (1 − v/85) = 0.5; without a hose there is no drop on the way.
  const std::string plain = with(with(ejector, "switch = \"60 kPa\"", ""), "hose = { length = 2000, bore = 6 }", "");
  const double reached = 85 * kpa * (1 - 0.5 / 60);
  CHECK(cell_of(head + zones + plain).suctions.at(0).vacuum == Approx(0.95 * reached));
  // A switch that never comes is not counted on.
  CHECK(cell_of(head + zones + with(plain, "check_valve", "switch = \"90 kPa\"\ncheck_valve")).suctions.at(0).vacuum ==
        Approx(reached));
  // A leak of all that is ever drawn leaves nothing.
  CHECK(cell_of(head + zones + with(plain, "0.5 L/min", "60 L/min")).suctions.at(0).vacuum == 0);
}

TEST_CASE("what is drawn down is the supply's volume, its hose and all its zones") {
  const Cell cell = cell_of(head + zones + ejector);
  const double hose = pi / 4 * 36 * 2000;
  CHECK(drawn_volume(cell, only(cell)).value() == Approx(0.4 * litre + hose + 20e3));
  CHECK(kept_volume(cell, only(cell), {"left"}).value() == Approx(0.4 * litre + hose));
  // Without it every zone has to state its own.
  const Cell without = cell_of(head + zones + with(ejector, "volume = \"0.4 L\"", ""));
  CHECK_FALSE(drawn_volume(without, only(without)));
  CHECK_FALSE(evacuation_time(without, only(without)));
  CHECK(kept_volume(without, only(without), {"right"}).value() == Approx(hose + 20e3));
}

TEST_CASE("a grip waits for the switch of its supply") {
  // V/p_a (85/60) ln(60/(60 (1 − 60/85))), the leak left aside: t = V/p_a 85000/Q ln(85/25)
  const std::string tight =
      with(with(ejector, "hose = { length = 2000, bore = 6 }", ""), "leak = \"0.5 L/min\"", "leak = 0");
  const Cell cell = cell_of(head + zones + tight);
  const double exact = 0.42 * litre / 101325 * 85 * kpa / 1e6 * std::log(85.0 / 25);
  CHECK(evacuation_time(cell, only(cell)).value() == Approx(exact).epsilon(1e-9));
  CHECK(evacuation_time(cell, cell.tcps.at(0).suction) == Approx(exact).epsilon(1e-9));
  // What never comes is told by a finding; no time can be waited for it.
  const Cell never = cell_of(head + zones + with(tight, "60 kPa", "85 kPa"));
  CHECK(std::isinf(evacuation_time(never, only(never)).value()));
  CHECK(evacuation_time(never, never.tcps.at(0).suction) == 0);
}

TEST_CASE("the controller's timeout is half as much again, rounded up to a tenth") {
  CHECK(switch_timeout(0.4) == Approx(0.6));
  CHECK(switch_timeout(0.41) == Approx(0.7));
  CHECK(switch_timeout(0) == 0);
}

TEST_CASE("mistakes in a supply are told with line, key and mend") {
  check_refused_ejector(flow, "flow = []", "flow", "is an empty list");
  check_refused_ejector(flow, "flow = [[\"0 kPa\", \"60 L/min\"]]", "flow", "has one point only");
  check_refused_ejector(flow, "flow = \"60 L/min\"", "flow", "is a text where a list");
  check_refused_ejector(flow, "", "flow", "is missing");
  check_refused_ejector("\"0 L/min\"]", "\"60 L/min\"]", "flow[2]", "draws no less");
  check_refused_ejector("\"0 L/min\"]", "\"-1 L/min\"]", "flow[2][2]", "below 0");
  check_refused_ejector("\"0 kPa\"", "\"-1 kPa\"", "flow[1][1]", "below 0");
  check_refused_ejector("\"0 kPa\"", "\"85 kPa\"", "flow[2]", "at no more vacuum");
  check_refused_ejector("\"85 kPa\"", "\"102 kPa\"", "flow[2][1]", "ambient is only");
  check_refused_ejector("\"85 kPa\"", "\"85 L\"", "flow[2][1]", "use Pa, kPa");
  check_refused_ejector("\"60 kPa\"", "\"102 kPa\"", "switch", "ambient is only");
  check_refused_ejector("\"60 kPa\"", "0", "switch", "above 0");
  check_refused_ejector("leak = \"0.5 L/min\"", "", "leak", "is missing");
  check_refused_ejector("\"0.5 L/min\"", "-1", "leak", "below 0");
  check_refused_ejector("\"0.4 L\"", "0", "volume", "above 0");
  check_refused_ejector("bore = 6", "bore = 0", "hose.bore", "above 0");
  check_refused_ejector(", bore = 6", "", "hose.bore", "is missing");
  check_refused_ejector("check_valve = true", "check_valve = 1", "check_valve", "true or false");
  check_refused_ejector("check_valve", "check_valv", "check_valv", "did you mean");
}

TEST_CASE("a zone has a vacuum of its own or a supply's, not both and not neither") {
  check_refused(head + with(zones, "supply = \"ejector\"", "") + ejector, "suction \"left\"",
                "has none of vacuum, supply");
  check_refused(head + with(zones, "supply = \"ejector\"", "supply = \"ejector\"\nvacuum = 60") + ejector,
                "suction \"left\"", "has both vacuum and supply");
  check_refused(head + with(zones, "supply = \"ejector\"", "supply = \"ejector\"\nflow = 60") + ejector,
                "suction \"left\".flow", "stands beside supply");
  check_refused(head + with(zones, "supply = \"ejector\"", "supply = \"ejektor\"") + ejector, "suction \"left\".supply",
                "did you mean \"ejector\"?");
  check_refused(head + with(zones, "supply = \"ejector\"", "supply = \"cups\"") + ejector, "suction \"left\".supply",
                "is a tcp where a [[vacuum]]");
}

TEST_CASE("a supply that no zone names has no effect, and that is told") {
  const auto cautions = cell_of(head + zones + ejector + with(ejector, "\"ejector\"", "\"pump\"")).cautions;
  REQUIRE(cautions.size() == 1);
  CHECK_THAT(cautions[0], Catch::Contains("vacuum \"pump\": has no effect"));
}

TEST_CASE("at altitude a catalogue's vacuum is less, and that is told with the figure there") {
  // US Standard Atmosphere 1976: 84559.68 Pa at 1500 m of 101325, so that 80 kPa become 66.76.
  const std::string rules = "[rules]\naltitude = \"1500 m\"\n";
  const auto cautions = cell_of(head + rules + zones + with(ejector, "85 kPa", "80 kPa")).cautions;
  REQUIRE(cautions.size() == 1);
  CHECK_THAT(cautions[0], Catch::Contains("vacuum \"ejector\"") && Catch::Contains("66.76 kPa at 1500 m"));
  check_refused(head + rules + zones + ejector, "vacuum \"ejector\".flow[2][1]", "ambient is only");
}
