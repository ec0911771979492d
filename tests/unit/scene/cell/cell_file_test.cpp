// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/cell_file.hpp"

#include <algorithm>
#include <fstream>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

const std::filesystem::path whole_file = CELLPROOF_SOURCE_DIR "/tests/unit/scene/cell/cells/whole.toml";

Cell whole_cell() {
  const Input<Cell> cell = read_cell_file(whole_file);
  if (!cell) FAIL(cell.error().text());
  return *cell;
}

const std::string six_joints = R"(joints = [
  { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 }, { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 },
  { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 }, { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 },
  { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 }, { min = "-180 deg", max = "180 deg", speed = 180, acceleration = 600 },
]
)";

/// The least that reads, with more after it.
Cell small_cell(const std::string& rest, const std::string& first = "") {
  const Input<Cell> cell = read_cell_text("format = 1\n" + first + "[arm]\n" + six_joints + rest, "cells/small.toml");
  if (!cell) FAIL(cell.error().text());
  return *cell;
}

bool near(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b) {
  return (a - b).cwiseAbs().maxCoeff() < 1e-12;
}

template <class Action>
const Action& action(const Cell& cell, std::size_t step) {
  return std::get<Action>(cell.cycle->steps.at(step).action);
}

Eigen::Matrix3d rows(double a, double b, double c, double d, double e, double f, double g, double h, double i) {
  Eigen::Matrix3d matrix;
  matrix << a, b, c, d, e, f, g, h, i;
  return matrix;
}

}  // namespace

TEST_CASE("a joint's time to a stand and a pad's size are none where they are left out") {
  const std::string jaw = "[[jaw]]\nname = \"jaws\"\non = \"flange\"\nforce = 400\n";
  CHECK_FALSE(small_cell(jaw).jaws.at(0).pad);
  CHECK_FALSE(small_cell(jaw).arm.stop_times.at(0));
  CHECK((*small_cell(jaw + "pad = [\"2 cm\", 12]\n").jaws.at(0).pad - Vector2d(20, 12)).norm() < 1e-12);
  std::string text = "format = 1\n[arm]\n" + six_joints;
  text.replace(text.find("acceleration"), 0, "stop_time = \"300 ms\", ");
  const Input<Cell> cell = read_cell_text(text, "cells/small.toml");
  REQUIRE(cell);
  CHECK(cell->arm.stop_times.at(0).value() == Approx(0.3));
  CHECK_FALSE(cell->arm.stop_times.at(1));
}

TEST_CASE("format and an arm are all that a cell file needs") {
  const Cell cell = small_cell("");
  CHECK(cell.name == "small");  // the file's own name
  CHECK(cell.file == "cells/small.toml");
  CHECK(cell.bodies.empty());
  CHECK_FALSE(cell.cycle.has_value());
  CHECK(cell.arm.base.on == "world");
  CHECK(cell.arm.arm.convention == DhConvention::standard);
  CHECK(cell.rules.clearance == 5);
  CHECK(cell.rules.seat_zone == 10);
  CHECK(cell.rules.visible == 0.98);
  CHECK(cell.cautions.empty());
}

TEST_CASE("a cycle without steps reads, with the contract's default speeds") {
  const Cell cell = small_cell("[cycle]\nstart = [0, 0, 0, 0, 0, 90]\n");
  REQUIRE(cell.cycle);
  CHECK(cell.cycle->steps.empty());
  CHECK(cell.cycle->start[5] == Approx(pi / 2));
  CHECK(cell.cycle->speeds.joint_speed == 1);
  CHECK(cell.cycle->speeds.tool_speed == 250);
  CHECK(cell.cycle->speeds.tool_acceleration == 1000);
  CHECK(cell.cycle->speeds.tool_turn == Approx(pi / 2));
  CHECK(cell.cycle->speeds.tool_turn_acceleration == Approx(2 * pi));
}

TEST_CASE("the arm's table, limits, couplings and payload") {
  const Cell cell = whole_cell();
  const Arm& arm = cell.arm.arm;
  CHECK(cell.arm.base.on == "pedestal");
  CHECK(cell.arm.base.at.translation().z() == Approx(609.6));  // 2 ft
  CHECK(near(cell.arm.base.at.linear(), rows(0, -1, 0, 1, 0, 0, 0, 0, 1)));
  CHECK(arm.convention == DhConvention::modified);
  CHECK(arm.flange_in_link6.translation() == Vector3d(0, 0, 80));
  CHECK(arm.rows[1].alpha == Approx(-pi / 2));
  CHECK(arm.rows[1].theta == Approx(-pi / 2));
  CHECK(arm.rows[2].a == Approx(254));  // 10 in
  CHECK(arm.limits[0].acceleration == Approx(radians(600)));
  CHECK(arm.limits[1].max == Approx(2));
  CHECK(arm.limits[1].speed == Approx(pi));  // 30 rpm
  CHECK(arm.dh_from_values(2, 2) == -1);
  CHECK(arm.dh_from_values(2, 1) == 1);
  CHECK(arm.dh_from_values(0, 0) == 1);
  REQUIRE(arm.sum_limits.size() == 1);
  CHECK(arm.sum_limits[0].coefficients[2] == 1);
  CHECK(arm.sum_limits[0].max == Approx(radians(200)));
  REQUIRE(cell.arm.payload);
  CHECK(cell.arm.payload->mass == 10.0);
  CHECK(cell.arm.payload->axes.at(0).moment == 20.0);
  CHECK(cell.arm.payload->axes.at(1).inertia.value() == Approx(0.02926397));  // 100 lb in^2
  CHECK_FALSE(cell.arm.payload->axes.at(1).moment);
  CHECK(cell.arm.payload->offsets.at(2) == std::array<double, 2>{300, 4});
}

TEST_CASE("bodies: shapes, masses, poses") {
  const Cell cell = whole_cell();
  REQUIRE(cell.bodies.size() == 5);
  CHECK(std::get<BoxShape>(cell.bodies.at(0).shape).size == Vector3d(200, 200, 500));
  CHECK(cell.bodies.at(0).density.value() == Approx(2700));
  const Body& table = cell.bodies.at(1);
  CHECK(table.mass == 21.0);
  CHECK(table.com == Vector3d(0, 0, 12));
  CHECK(std::get<MeshSource>(table.shape).file == "meshes/table.stl");
  CHECK(std::get<MeshSource>(table.shape).unit_mm == 25.4);
  // Rz(90)·Ry(0)·Rx(90): x to y, y to z, z to x (derived).
  CHECK(near(table.placed.at.linear(), rows(0, 0, 1, 1, 0, 0, 0, 1, 0)));
  CHECK_FALSE(std::get<MeshSource>(cell.bodies.at(2).shape).unit_mm);  // STEP carries its own
  CHECK(std::get<MeshSource>(cell.bodies.at(2).shape).deviation_mm == 0.05);
  CHECK(std::get<MeshSource>(cell.bodies.at(2).shape).solid.empty());
  CHECK(cell.bodies.at(2).placed.on == "world");
  CHECK(std::get<CylinderShape>(cell.bodies.at(3).shape).height == 20);
  // quat [0, 2, 0, 0], not normalised: a half turn about x.
  CHECK(near(cell.bodies.at(3).placed.at.linear(), rows(1, 0, 0, 0, -1, 0, 0, 0, -1)));
  CHECK(std::get<SphereShape>(cell.bodies.at(4).shape).radius == 30);
}

TEST_CASE("seats and parts with their grasps") {
  const Cell cell = whole_cell();
  REQUIRE(cell.seats.size() == 2);
  CHECK_FALSE(cell.seats[0].grid);
  CHECK(cell.seats[1].grid->columns == 4);
  CHECK(cell.seats[1].grid->pitch == std::array<double, 2>{240, 160});
  const Part& blank = cell.parts.at(0);
  CHECK(blank.mass.value() == Approx(1.36077711));  // 3 lb
  CHECK(blank.seat == "@slot");
  CHECK(blank.at.translation().z() == 20);
  CHECK(blank.grasps.at(0).turns.at(1) == Approx(pi));
  CHECK_FALSE(blank.grasps.at(0).any_turn);
  CHECK(blank.grasps.at(1).any_turn);
  CHECK(cell.parts.at(1).seat.empty());
  CHECK(cell.parts.at(1).grasps.at(0).turns == std::vector<double>{0});
}

TEST_CASE("tcps, suction zones and jaws") {
  const Cell cell = whole_cell();
  CHECK(cell.tcps.at(0).suction == std::vector<std::string>{"cup"});
  CHECK(cell.tcps.at(0).touch == std::vector<std::string>{"cup rubber"});
  CHECK(cell.tcps.at(0).grip_time == Approx(0.3));
  CHECK(cell.tcps.at(0).release_time == Approx(0.1));
  CHECK(cell.tcps.at(1).placed.on == "flange");
  CHECK(cell.tcps.at(1).jaw == "jaws");
  CHECK_FALSE(cell.tcps.at(1).touch);
  const Suction& cup = cell.suctions.at(0);
  CHECK(cup.circle == 20.0);
  CHECK(cup.vacuum == Approx(60000));
  CHECK(cup.friction == 0.5);
  CHECK(cup.volume.value() == Approx(200000));  // mm^3
  CHECK(cup.flow.value() == Approx(500000));    // mm^3/s
  const Suction& plate = cell.suctions.at(1);
  CHECK(plate.outline.size() == 4);
  CHECK(plate.holes.at(0).at(2) == Vector2d(10, 20));
  CHECK(plate.vacuum == Approx(67727.78));  // 20 inHg
  CHECK(cell.jaws.at(0).force == 400);
  CHECK(cell.jaws.at(0).pads == 3);
  CHECK(cell.jaws.at(0).fingers.at(0).open == Vector3d(-8, 0, 0));
}

TEST_CASE("chips thinner or thicker than a shop's are told") {
  // given the cutter of the whole file: three teeth at 12000 rpm
  const auto told_at = [](const std::string& feed) {
    std::ifstream in(whole_file);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    const std::string key = "feed = \"2400 mm/min\"";
    text.replace(text.find(key), key.size(), "feed = \"" + feed + "\"");
    const auto cell = read_cell_text(text, whole_file);
    if (!cell) FAIL(cell.error().text());
    return cell->cautions.size() - whole_cell().cautions.size();
  };
  CHECK(told_at("2000 mm/min") == 0);  // 0.056 mm a tooth
  CHECK(told_at("1500 mm/min") == 1);  // 0.042 mm
  CHECK(told_at("30 m/min") == 0);     // 0.83 mm
  CHECK(told_at("40 m/min") == 1);     // 1.1 mm
}

TEST_CASE("friction that is left out is 0.1, with a caution that says where") {
  const Cell cell = whole_cell();
  CHECK(cell.suctions.at(1).friction == 0.1);
  CHECK(cell.holds.at(1).friction == 0.1);
  REQUIRE(cell.cautions.size() == 9);
  CHECK_THAT(cell.cautions[0], Catch::Contains("suction \"plate zone\"") && Catch::Contains("0.1"));
  CHECK_THAT(cell.cautions[1], Catch::Contains("hold \"clamps\""));
  CHECK_THAT(cell.cautions[2], Catch::Contains("its friction of 0.3 counts, not the 0.1 of \"plate zone\""));
  // The others are of what has no effect.
  CHECK_THAT(cell.cautions[3], Catch::Contains("hold \"clamps\": has no effect"));
  CHECK_THAT(cell.cautions[4], Catch::Contains("hold \"side clamps\": has no effect"));
  CHECK_THAT(cell.cautions[5], Catch::Contains("hold \"drill stop\": has no effect"));
  CHECK_THAT(cell.cautions[6], Catch::Contains("\"@back\""));
  // And of vacuum at 1000 m.
  CHECK_THAT(cell.cautions[7], Catch::Contains("suction \"cup\"") && Catch::Contains("1000 m"));
  CHECK_THAT(cell.cautions[8], Catch::Contains("suction \"plate zone\"") && Catch::Contains("1000 m"));
}

TEST_CASE("an altitude of a few metres is a caution: bare lengths are millimetres") {
  const Cell mistaken = small_cell("[rules]\naltitude = 1600\n");
  CHECK(mistaken.rules.altitude == 1600);
  REQUIRE(mistaken.cautions.size() == 1);
  CHECK_THAT(mistaken.cautions[0], Catch::Contains("1.6 m") && Catch::Contains("\"1600 m\""));
  CHECK(small_cell("[rules]\naltitude = \"1600 m\"\n").cautions.empty());
  CHECK(small_cell("[rules]\naltitude = 0\n").cautions.empty());
}

TEST_CASE("a camera by view angle, by focal length and by matrix") {
  const Cell cell = whole_cell();
  const Camera& wrist = cell.cameras.at(0);
  CHECK(wrist.fx == Approx(640 / std::tan(radians(30))));  // half the width over the tangent of half the angle
  CHECK(wrist.fy == wrist.fx);
  CHECK(wrist.cx == 639.5);
  CHECK(wrist.cy == 479.5);
  CHECK(wrist.distortion[4] == -0.01);
  CHECK(wrist.near_mm == 50);
  CHECK(wrist.front == 5);
  CHECK(wrist.housing == std::vector<std::string>{"camera body"});
  // f 10 focused at 410: c = 10·410/400 = 10.25; 1000 pixels over 8 mm (derived).
  const Camera& tele = cell.cameras.at(1);
  CHECK(tele.fx == Approx(1281.25));
  CHECK(tele.focus->circle == Approx(0.007));
  CHECK(tele.near_mm == Approx(50.8));
  CHECK(tele.placed.on == "world");
  CHECK(cell.cameras.at(2).fy == 501);
  CHECK(cell.cameras.at(2).cy == 240);
  CHECK(cell.targets.at(0).size == std::array<double, 2>{30, 20});
  CHECK(cell.zones.at(0).box == Vector3d(900, 700, 600));
}

TEST_CASE("the cycle: slots in the file's order, grids spelled out, speeds") {
  const Cell cell = whole_cell();
  REQUIRE(cell.cycle);
  const CycleEntry& cycle = *cell.cycle;
  REQUIRE(cycle.each.size() == 2);
  CHECK(cycle.each[0].slot == "@slot");  // the first key names the run, though "@back" sorts before it
  CHECK(cycle.each[0].seats.size() == 12);
  CHECK(cycle.each[0].seats[11] == "rack 12");
  CHECK(cycle.each[1].seats[0] == "rack 12");
  CHECK(cycle.each[1].seats[11] == "rack 1");  // "rack" alone
  CHECK(cycle.others == std::vector<std::string>{"none", "blank", "finished"});
  CHECK(cycle.speeds.joint_acceleration == 0.25);
  CHECK(cycle.speeds.tool_speed == Approx(250));  // 15 m/min
  CHECK(cycle.speeds.tool_turn_acceleration == 1);
  CHECK(cycle.start[1] == Approx(-pi / 2));
}

TEST_CASE("steps: names, verbs, overrides, origins") {
  const Cell cell = whole_cell();
  const auto& steps = cell.cycle->steps;
  REQUIRE(steps.size() == 12);
  CHECK(steps.at(0).name == "to the door");
  CHECK(steps.at(1).name == "move 2");
  CHECK(steps.at(3).name == "pick 4");
  CHECK(steps.at(0).origin.key == "step \"to the door\"");
  CHECK(steps.at(1).origin.key == "step[2]");
  CHECK(steps.at(0).origin.line > cell.cycle->origin.line);
  CHECK(steps.at(0).speeds.joint_speed == 1);
  CHECK(steps.at(0).speeds.joint_acceleration == 0.25);
  CHECK(steps.at(1).speeds.joint_speed == 0.5);
  CHECK(steps.at(1).speeds.tool_speed == 100);

  CHECK_FALSE(action<MoveStep>(cell, 0).linear);
  CHECK(std::get<JointTarget>(action<MoveStep>(cell, 0).to).values[5] == 1);
  CHECK(std::get<JointTarget>(action<MoveStep>(cell, 1).to).tcp == "cups");
  const auto& above = std::get<PoseTarget>(action<MoveStep>(cell, 2).to);
  CHECK(above.frame == "@slot");
  CHECK(above.at.translation().z() == 200);
  CHECK(above.near.value()[2] == Approx(pi / 2));

  const auto& pick = action<PickStep>(cell, 3);
  CHECK(pick.grasp == "blank top");
  CHECK(pick.approach == std::vector<Vector3d>{{0, 0, 100}});
  CHECK(near(pick.retreat.at(1), Vector3d(120, 0, 50.8)));
  CHECK(pick.unhold == "vacuum plate");
  const auto& place = action<PlaceStep>(cell, 4);
  CHECK(place.tcp.empty());
  CHECK(place.at.translation() == Vector3d(1, 2, 3));
  CHECK(place.approach == std::vector<Vector3d>{{10, 0, 80}});
  CHECK(place.retreat.empty());
  CHECK(place.confirm == Approx(0.8));
  CHECK(std::get<PoseTarget>(*action<LookStep>(cell, 5).to).frame == "world");
  CHECK(action<WaitStep>(cell, 6).time == Approx(0.5));
  CHECK(action<ShiftStep>(cell, 7).to.at(0).translation().y() == 900);
  CHECK(action<ShiftStep>(cell, 7).clear == "inside mill");
  CHECK(action<ShiftStep>(cell, 8).bodies == std::vector<std::string>{"door", "table"});
  CHECK(action<MachineStep>(cell, 9).time == Approx(240));
  CHECK(action<MachineStep>(cell, 9).into == "finished");
  CHECK(action<RemoveStep>(cell, 10).part == "finished");
  CHECK(action<BringStep>(cell, 11).seat == "rack 3");
}

TEST_CASE("a fraction may be written in hundredths") {
  const Cell cell =
      small_cell("[rules]\nvisible = \"95 %\"\n[cycle]\nstart = [0, 0, 0, 0, 0, 0]\njoint_speed = \"40%\"\n");
  CHECK(cell.rules.visible == Approx(0.95));
  CHECK(cell.cycle->speeds.joint_speed == Approx(0.4));
}

TEST_CASE("rules, holds and surveys") {
  const Cell cell = whole_cell();
  CHECK(cell.rules.clearance == 4);
  CHECK(cell.rules.seat_zone == 8);  // twice the clearance
  CHECK(cell.rules.limit_margin == Approx(radians(2)));
  CHECK(cell.rules.stop.value() == Approx(15000));
  CHECK(cell.rules.altitude == Approx(1e6));
  CHECK(cell.rules.contacts.at(0).between[1] == "end effector");
  CHECK(cell.rules.clearances.at(0).least == Approx(12.7));
  CHECK(cell.holds.at(0).suction == std::vector<std::string>{"plate zone"});
  CHECK(cell.holds.at(0).rests.size() == 3);
  CHECK(cell.holds.at(0).cut->side_force == 400.0);
  CHECK(cell.holds.at(0).cut->thrust == 90);
  CHECK(cell.holds.at(0).cut->over.at(2) == Vector2d(0, 40));
  CHECK(cell.holds.at(1).cut->over.empty());
  const Cutter& cutter = cell.holds.at(2).cut->cutter.value();
  CHECK(cutter.diameter == 10);
  CHECK(cutter.teeth == 3);
  CHECK(cutter.helix == Approx(radians(30)));
  CHECK(cutter.spindle == Approx(400 * pi));
  CHECK(cutter.feed == Approx(40));
  CHECK(cutter.depth == 4);
  CHECK(cutter.width == 6);
  CHECK_FALSE(cutter.centred);
  CHECK(cutter.kc11 == 700);
  CHECK(cutter.mc == 0.25);
  CHECK(cutter.radial == 0.4);
  CHECK(cell.holds.at(2).cut->height == 12);
  CHECK_FALSE(cell.holds.at(3).cut->side_force);
  CHECK(cell.holds.at(3).cut->thrust == 1500);
  CHECK(cell.frictions.at(0).holder == "plate zone");
  CHECK(cell.frictions.at(0).part == "blank");
  CHECK(cell.frictions.at(0).value == 0.2);
  CHECK(cell.holds.at(1).clamps.at(0).force == 2000);
  CHECK(cell.holds.at(1).cut->power == 3000.0);
  CHECK(cell.holds.at(1).cut->cutting_speed == 5000.0);  // 300 m/min in mm/s
  CHECK(cell.holds.at(1).cut->peak == 3.3);
  CHECK(cell.surveys.at(0).x->step == 20);
  CHECK_FALSE(cell.surveys.at(0).z);
  CHECK(cell.surveys.at(0).yaw->to == Approx(radians(270)));
}

TEST_CASE("the seat zone is never less than 2 mm by default") {
  CHECK(small_cell("[rules]\nclearance = 0.5\n").rules.seat_zone == 2);
  CHECK(small_cell("[rules]\nclearance = 0.5\nseat_zone = 1\n").rules.seat_zone == 1);
}

TEST_CASE("units set what bare numbers mean, in rates too") {
  const Cell cell = small_cell(
      "[[body]]\nname = \"block\"\nbox = [1, \"1 mm\", 2]\nmass = 2\n[cycle]\nstart = [1, 0, 0, 0, 0, 0]\n"
      "tool_speed = 10\ntool_acceleration = 10\ntool_turn = 1\n",
      "units = { length = \"in\", angle = \"rad\", mass = \"lb\" }\n");
  CHECK(std::get<BoxShape>(cell.bodies.at(0).shape).size == Vector3d(25.4, 1, 50.8));
  CHECK(cell.bodies.at(0).mass.value() == Approx(0.90718474));
  CHECK(cell.cycle->start[0] == 1);
  CHECK(cell.cycle->speeds.tool_speed == Approx(254));
  CHECK(cell.cycle->speeds.tool_acceleration == Approx(254));
  CHECK(cell.cycle->speeds.tool_turn == 1);
  CHECK(cell.rules.clearance == 5);  // defaults are the contract's, whatever the units
}

TEST_CASE("a line to joint values takes its tcp from the step as well") {
  const Cell cell = small_cell(
      "[[tcp]]\nname = \"tip\"\n[cycle]\nstart = [0, 0, 0, 0, 0, 0]\n"
      "[[step]]\nmove = \"linear\"\ntcp = \"tip\"\nto = { joints = [0, 0, 0, 0, 0, 1] }\n");
  CHECK(std::get<JointTarget>(action<MoveStep>(cell, 0).to).tcp == "tip");
}

TEST_CASE("a line may go to a frame on a part, which the arm need not carry") {
  const Cell cell = small_cell(
      "[[tcp]]\nname = \"tip\"\n[[part]]\nname = \"bar\"\nbox = [1, 1, 1]\n[cycle]\nstart = [0, 0, 0, 0, 0, 0]\n"
      "[[step]]\nmove = \"linear\"\nto = { tcp = \"tip\", frame = \"bar\" }\n");
  CHECK(std::get<PoseTarget>(action<MoveStep>(cell, 0).to).frame == "bar");
}

TEST_CASE("a file that cannot be read says so without a line") {
  const auto missing = read_cell_file("no/such/cell.toml");
  REQUIRE_FALSE(missing);
  CHECK(missing.error().text() == "no/such/cell.toml: cannot be read: No such file or directory; check the path");
  const auto folder = read_cell_file(CELLPROOF_SOURCE_DIR "/tests");
  REQUIRE_FALSE(folder);
  CHECK_THAT(folder.error().text(), Catch::Contains("it is a folder"));
}
