// SPDX-License-Identifier: GPL-3.0-or-later
// What is stated and can't be honoured is refused; what is stated and does nothing is told.
#include <algorithm>

#include "tests/support/vise_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::string vise() {
  return ViseCell{}.text();
}

std::string with(std::string text, const std::string& good, const std::string& other) {
  const auto place = text.find(good);
  if (place == std::string::npos) FAIL("not in the cell: " << good);
  return text.replace(place, good.size(), other);
}

InputError refused(const std::string& text) {
  const auto cell = read_cell_text(text, "cell.toml");
  if (cell) FAIL("it is read");
  return cell.error();
}

void check_refused(const std::string& text, const std::string& key, const std::string& phrase) {
  const InputError error = refused(text);
  INFO(error.text());
  CHECK(error.key == key);
  CHECK(error.line > 1);
  CHECK_FALSE(error.mend.empty());
  CHECK_THAT(error.text(), Catch::Contains(phrase));
}

/// The cautions beside those of the good cell.
std::vector<std::string> told(const std::string& text) {
  const auto good = cell_of(vise()).cautions;
  auto mine = cell_of(text).cautions;
  std::erase_if(mine, [&](const std::string& line) { return std::ranges::find(good, line) != good.end(); });
  return mine;
}

void check_told(const std::string& text, const std::string& phrase) {
  const auto lines = told(text);
  INFO(phrase);
  REQUIRE(lines.size() == 1);
  CHECK_THAT(lines[0], Catch::Contains(phrase));
}

const std::string right = "{ body = \"right jaw\"";

}  // namespace

TEST_CASE("a cell in which everything has an effect has no cautions") {
  CHECK(cell_of(vise()).cautions.empty());
}

TEST_CASE("fingers: a stroke has a direction and a length, and a finger is one of its jaw's once, riding with it") {
  ViseCell cell;
  cell.left = "open = [0, -6, 0], stroke = 8";
  CHECK(cell_of(cell.text()).jaws.at(1).fingers.at(0).stroke == 8.0);
  CHECK_FALSE(cell_of(cell.text()).jaws.at(1).fingers.at(1).stroke);
  cell.left = "open = [0, -6, 0], stroke = 0";
  check_refused(cell.text(), "jaw \"vise jaw\".fingers[1].stroke", "above 0");
  cell.left = "open = [0, 0, 0], stroke = 8";
  check_refused(cell.text(), "jaw \"vise jaw\".fingers[1].open", "no direction");
  check_refused(with(vise(), right, "{ body = \"left jaw\""), "jaw \"vise jaw\".fingers[2]", "a second time");
  check_refused(with(vise(), right, "{ body = \"left finger\""), "jaw \"vise jaw\".fingers",
                "rides on the arm, and the jaw does not");
  check_refused(with(vise(), "{ body = \"right finger\"", "{ body = \"right jaw\""), "jaw \"tool jaw\".fingers",
                "does not ride on the arm, and the jaw does");
}

TEST_CASE("a tool holds with what rides on the flange, a fixture with what does not ride on the arm") {
  check_refused(with(vise(), "jaw = \"tool jaw\"", "jaw = \"vise jaw\""), "tcp \"tip\".jaw",
                "does not ride on the flange");
  check_refused(with(vise(), "jaw = \"vise jaw\"\nfriction", "jaw = \"tool jaw\"\nfriction"), "hold \"vise\".jaw",
                "rides on the arm");
}

TEST_CASE("hold_time is for jaws and clamps, vacuum has its confirm") {
  ViseCell cell;
  cell.hold = "hold_time = \"1500 ms\"\n";
  CHECK(cell_of(cell.text()).holds.at(0).hold_time == 1.5);
  CHECK(cell_of(vise()).holds.at(0).hold_time == 0);
  cell.hold = "hold_time = -1\n";
  check_refused(cell.text(), "hold \"vise\".hold_time", "below 0");
  cell.hold = "hold_time = 1\n";
  cell.more = "[[suction]]\nname = \"plate\"\non = \"bed\"\ncircle = 10\nvacuum = 60\nfriction = 0.3\n";
  check_refused(with(cell.text(), "jaw = \"vise jaw\"\nfriction", "suction = [\"plate\"]\nfriction"),
                "hold \"vise\".hold_time", "give `confirm` of the place");
}

TEST_CASE("what nothing names is told, with its line") {
  check_told(vise() + "[[jaw]]\nname = \"spare\"\non = \"flange\"\nforce = 10\nfriction = 0.2\n",
             "jaw \"spare\": has no effect");
  check_told(vise() + "[[suction]]\nname = \"cup\"\non = \"flange\"\ncircle = 10\nvacuum = 60\nfriction = 0.2\n",
             "suction \"cup\": has no effect");
  check_told(vise() + "[[zone]]\nname = \"inside\"\nbox = [10, 10, 10]\n", "zone \"inside\": has no effect");
  check_told(vise() +
                 "[[hold]]\nname = \"other\"\npart = \"bar\"\nseat = \"nest\"\nclamps = [ { at = [0, 0], force = 5 } "
                 "]\nfriction = 0.2\n",
             "hold \"other\": has no effect");
  check_told(with(vise(), "start = ", "each = { \"@slot\" = [\"nest\"] }\nstart = "), "nothing stands in \"@slot\"");
}

TEST_CASE("keys of another kind of motion are told: the file is read all the same") {
  const auto step = [](const std::string& lines) { return vise() + "[[step]]\nname = \"more\"\n" + lines; };
  const std::string joints = "to = { joints = [0, 0, 0, 0, -90, 0] }\n";
  check_told(step("move = \"joint\"\ntool_speed = 100\n" + joints), "tool_speed has no effect");
  check_told(step("move = \"joint\"\ntool_turn_acceleration = 100\n" + joints), "tool_turn_acceleration has no effect");
  CHECK(told(step("move = \"joint\"\njoint_speed = 0.5\n" + joints)).empty());
  const std::string pose = "to = { tcp = \"tip\", at = { xyz = [790, 0, 1000], turn = [180, 0, 0] }";
  check_told(step("move = \"linear\"\njoint_speed = 0.5\n" + pose + " }\n"), "joint_speed has no effect");
  check_told(step("move = \"linear\"\n" + pose + ", near = [0, 0, 0, 0, -90, 0] }\n"), "near has no effect");
  CHECK(told(step("move = \"joint\"\n" + pose + ", near = [0, 0, 0, 0, -90, 0] }\n")).empty());
  CHECK(told(with(vise(), "approach = 80\n", "approach = 80\njoint_speed = 0.5\ntool_speed = 100\n")).empty());
}

TEST_CASE("a centre of mass without a mass, and a smaller friction of the jaw than its hold has, are told") {
  check_told(with(vise(), "box = [100, 200, 100]", "box = [100, 200, 100]\ncom = [0, 0, 1]"), "com has no effect");
  check_told(with(vise(), "force = \"8 kN\"\nfriction = 0.2", "force = \"8 kN\"\nfriction = 0.15"),
             "its friction of 0.2 counts, not the 0.15");
  check_told(with(vise(), "force = \"8 kN\"\nfriction = 0.2", "force = \"8 kN\"\nfriction = 0.1"),
             "its friction of 0.2 counts, not the 0.1");
  CHECK(told(with(vise(), "force = \"8 kN\"\nfriction = 0.2", "force = \"8 kN\"\nfriction = 0.3")).empty());
}

TEST_CASE("figures that no rule looks at are told: a fixture's pads, stop times without a stop") {
  const std::string fixture_jaw = "force = \"8 kN\"\nfriction = 0.2\n";
  check_told(with(vise(), fixture_jaw, fixture_jaw + "pad = [20, 10]\n"), "jaw \"vise jaw\": pad has no effect");
  const std::string timed = with(vise(), "{ a = 150,", "{ stop_time = 0.3, a = 150,");
  check_told(timed, "stop_time has no effect without [rules] stop");
  CHECK(told(with(timed, "[rules]\n", "[rules]\nstop = \"3 m/s^2\"\n")).empty());
}

TEST_CASE("a stop softer than the motion's own slowing is told: it would flatter the grip") {
  const auto stops_in = [](const std::string& time) {
    return with(with(vise(), "{ a = 150,", "{ stop_time = " + time + ", a = 150,"), "[rules]\n",
                "[rules]\nstop = \"3 m/s^2\"\n");
  };
  check_told(stops_in("5"), "36 deg/s^2, softer than the acceleration of 600");
  CHECK(told(stops_in("0.3")).empty());  // derived: 180 deg/s in 0.3 s is 600 deg/s^2, as hard as the motion
}

TEST_CASE("zones that hold together may not cover the same place") {
  const auto zone = [](const std::string& name, double x, const std::string& shape) {
    return "[[suction]]\nname = \"" + name + "\"\non = \"flange\"\nat = { xyz = [" + std::to_string(x) +
           ", 0, 80] }\nvacuum = 60\nfriction = 0.2\n" + shape;
  };
  const auto cell = [&](double apart, const std::string& first, const std::string& second) {
    return vise() + zone("a", 0, first) + zone("b", apart, second) +
           "[[tcp]]\nname = \"cups\"\nsuction = [\"a\", \"b\"]\n";
  };
  const std::string cup = "circle = 10\n";
  check_refused(cell(0, cup, cup), "tcp \"cups\".suction", "100 % of the smaller");
  check_refused(cell(10, cup, cup), "tcp \"cups\".suction",
                "39 % of the smaller");     // derived: two circles, one radius apart
  CHECK(told(cell(20, cup, cup)).empty());  // side by side
  // given a ring of a zone about a cup: the cup stands in its hole
  const std::string square = "outline = [[-20, -20], [20, -20], [20, 20], [-20, 20]]\n";
  check_refused(cell(0, square, cup), "tcp \"cups\".suction", "100 % of the smaller");
  CHECK(told(cell(0, square + "holes = [[[-12, -12], [12, -12], [12, 12], [-12, 12]]]\n", cup)).empty());
}

TEST_CASE("figures that no shop has are told: a friction above 1, all of the air's pressure as vacuum") {
  check_told(with(vise(), "force = \"8 kN\"\nfriction = 0.2", "force = \"8 kN\"\nfriction = 30"), "is it per cent?");
  const auto cup = [](const std::string& vacuum) {
    return vise() + "[[suction]]\nname = \"cup\"\non = \"flange\"\ncircle = 10\nfriction = 0.2\nvacuum = \"" + vacuum +
           "\"\n[[tcp]]\nname = \"cups\"\nsuction = [\"cup\"]\n";
  };
  check_told(cup("1013 mbar"), "hardly any source");
  CHECK(told(cup("900 mbar")).empty());
}

TEST_CASE("jaws that share a finger and open it in different ways are told") {
  const std::string inner =
      "[[jaw]]\nname = \"inner\"\non = \"flange\"\nforce = 10\nfriction = 0.2\nfingers = [ { body = \"left finger\", "
      "open "
      "= [5, 0, 0] } ]\n[[tcp]]\nname = \"inside\"\njaw = \"inner\"\n";
  check_told(vise() + inner, "\"left finger\" is a finger of \"tool jaw\" too");
}
