// SPDX-License-Identifier: GPL-3.0-or-later
// What is wrong in a cell file is told with its line, its key and the mend.
#include <algorithm>
#include <fstream>
#include <iterator>
#include <random>

#include <catch2/catch.hpp>

#include "scene/cell/cell_file.hpp"

using namespace cellproof;

namespace {

std::string whole_text() {
  std::ifstream stream(CELLPROOF_SOURCE_DIR "/tests/unit/scene/cell/cells/whole.toml");
  return {std::istreambuf_iterator<char>(stream), {}};
}

/// A good file with one passage replaced. `~` in the replacement marks the line that has to be named.
struct BadFile {
  std::string good, bad;
  std::string key, phrase;
};

std::string edited(const BadFile& file) {
  std::string text = whole_text();
  const auto place = text.find(file.good);
  if (place == std::string::npos) FAIL("not in the good file: " + file.good);
  return text.replace(place, file.good.size(), file.bad);
}

/// Takes the mark out and tells its line.
int take_mark(std::string& text) {
  const auto mark = text.find('~');
  if (mark == std::string::npos) FAIL("no mark");
  text.erase(mark, 1);
  return static_cast<int>(1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(mark), '\n'));
}

void check_all(const std::vector<BadFile>& files) {
  for (const BadFile& file : files) {
    std::string text = edited(file);
    const int line = take_mark(text);
    INFO(file.bad);
    const auto cell = read_cell_text(text, "bad.toml");
    CHECK_FALSE(cell);
    if (cell) continue;
    INFO(cell.error().text());
    CHECK(cell.error().line == line);
    CHECK(cell.error().key == file.key);
    CHECK_THAT(cell.error().text(), Catch::Contains(file.phrase));
    CHECK_FALSE(cell.error().mend.empty());
  }
}

const std::string joint1 =
    "{ a = 0, alpha = 0, d = 150, theta = 0, min = -180, max = 180, speed = 180, acceleration = 600 }";

/// The first joint with one passage replaced.
BadFile bad_joint(const std::string& good, const std::string& bad, const std::string& key, const std::string& phrase) {
  std::string joint = joint1;
  joint.replace(joint.find(good), good.size(), bad);
  return {joint1, "~" + joint, key, phrase};
}

}  // namespace

TEST_CASE("the message is one line: file, line, key, what is wrong and the mend") {
  const auto cell = read_cell_text("format = 1\n[arm]\nconvention = \"dh\"\n", "cells/mill.toml");
  REQUIRE_FALSE(cell);
  CHECK(cell.error().text() ==
        "cells/mill.toml:3: arm.convention: is \"dh\", which is no convention; write \"standard\" or \"modified\" "
        "(Craig)");
}

TEST_CASE("mistakes: the file as a whole") {
  check_all({
      {"# SPDX-License-Identifier: GPL-3.0-or-later\n# Every table and nearly every key, once.\nformat = 1", "~",
       "format", "is missing"},
      {"format = 1", "~format = 2", "format", "reads format 1"},
      {"format = 1", "~format = \"1\"", "format", "a text where a number"},
      {"name = \"whole cell\"", "~name = 5", "name", "write it in quotes"},
      {"[arm]", "~[arn]", "arn", "did you mean \"arm\"?"},
      {"[[zone]]", "~[[zoom]]", "zoom", "did you mean \"zone\"?"},
      {"name = \"whole cell\"", "name = \"whole cell\"\n~colour = 1", "colour", "is not a key that is known here"},
      {"units = { length = \"mm\"", "~units = { length = \"yard\"", "units.length", "is not a unit of length"},
      {"angle = \"deg\", mass", "~angle = \"kg\", mass", "units.angle", "use deg or rad"},
      {"start = [0, -90, 90, 0, 90, 0]", "start = [0, ~= 90", "", "is not TOML here"},
      {"[[zone]]", "~[zone]", "zone", "write [[zone]]"},
      {"name = \"whole cell\"", "~name = \"Gr\xf6\xdf\"", "", "not UTF-8; save the file as UTF-8"},
  });
}

TEST_CASE("a file saved as UTF-16 is told what to do, one with a mark in UTF-8 is read") {
  const auto utf16 = read_cell_text(std::string_view("\xff\xfe"
                                                     "f\0o\0",
                                                     6),
                                    "mill.toml");
  REQUIRE_FALSE(utf16);
  CHECK(utf16.error().text() == "mill.toml:1: is UTF-16 text; save the file as UTF-8 in your editor");
  const auto marked = read_cell_text(
      "\xef\xbb\xbf"
      "format = 2\n",
      "mill.toml");
  REQUIRE_FALSE(marked);
  CHECK_THAT(marked.error().text(), Catch::StartsWith("mill.toml:1: format: is 2"));
}

TEST_CASE("mistakes: the arm") {
  check_all({
      {"on = \"pedestal\"", "~on = \"rack\"", "arm.on", "\"rack\" is a seat where a body is wanted"},
      {"convention = \"modified\"", "~convention = \"craig\"", "arm.convention", "no convention"},
      {"base = { xyz = [0, 0, \"2 ft\"], rotvec = [0, 0, 90] }", "~base = { xyz = [0, 0] }", "arm.base.xyz",
       "has 2 entries where 3 are wanted; write [x, y, z]"},
      {"rotvec = [0, 0, 90] }", "~rotvec = [0, 0, 90], turn = [0, 0, 0] }", "arm.base", "gives the rotation twice"},
      {"\"2 ft\"", "~\"2 lb\"", "arm.base.xyz[3]",
       "is a unit of mass where one of length is wanted; use mm, cm, m, in"},
      {"flange = { xyz = [0, 0, 80] }", "~flange = [0, 0, 80]", "arm.flange", "is a list where a table is wanted"},
      {"joints = [\n", "~joints = [\n  { min = 0, max = 1, speed = 1, acceleration = 1 },\n", "arm.joints",
       "has 7 entries where 6 are wanted; write exactly six joints"},
      {"joints = [\n  " + joint1 + ",\n  { a = 0,",
       "~joints = [\n  { min = 0, max = 1, speed = 1, acceleration = 1, couple = [0, 1, 0, 0, 0, 0] },\n  { couple = "
       "[1, 0, 0, 0, 0, 0],",
       "arm.joints", "do not determine their values"},
      {"joints = [\n  { a = 0, alpha = 0, d = 150, theta = 0, min = -180, max = 180",
       "~joints = [\n  { a = 0, alpha = 0, d = 150, theta = 0, min = -1e9, max = 1e9", "arm.joints",
       "choices of whole turns"},
      bad_joint("speed = 180", "sped = 180", "arm.joints[1].sped", "did you mean \"speed\"?"),
      bad_joint(", speed = 180", "", "arm.joints[1].speed", "is missing"),
      bad_joint("speed = 180", "speed = 0", "arm.joints[1].speed", "above 0"),
      bad_joint("acceleration = 600", "acceleration = 600, stop_time = 0", "arm.joints[1].stop_time", "above 0"),
      bad_joint("acceleration = 600", "acceleration = -1", "arm.joints[1].acceleration", "above 0"),
      bad_joint("min = -180", "min = 180", "arm.joints[1]", "not below max"),
      bad_joint("alpha = 0", "alpha = \"0 mm\"", "arm.joints[1].alpha", "use deg or rad"),
      bad_joint("alpha = 0", "alpha = nan", "arm.joints[1].alpha", "finite"),
      bad_joint("d = 150", "d = -inf", "arm.joints[1].d", "finite"),
      bad_joint("d = 150", "d = true", "arm.joints[1].d", "is true or false where a quantity (length)"),
      bad_joint("d = 150", "d = 1979-05-27", "arm.joints[1].d", "a date"),
      bad_joint("theta = 0", "sign = 2", "arm.joints[1].sign", "neither 1 nor -1"),
      bad_joint("theta = 0", "couple = [1, 0, 0, 0, 0, 0]", "arm.joints[1].couple", "couples joint 1 to itself"),
      bad_joint("theta = 0", "couple = [0, 0, 0]", "arm.joints[1].couple", "has 3 entries where 6"),
      {"limits = [{ sum = [0, 1, 1, 0, 0, 0]", "~limits = [{ sum = [0, 0, 0, 0, 0, 0]", "arm.limits[1].sum",
       "adds up nothing"},
      {"axis = 5", "~axis = 3", "arm.payload.axes[1].axis", "from 4 to 6"},
      {"axis = 6", "~axis = 5", "arm.payload.axes[2]", "axis 5 a second time"},
      {"[150, 7]", "~[0, 7]", "arm.payload.offsets[2]", "rising order"},
      {"moment = \"20 N m\"", "~moment = \"20 N\"", "arm.payload.axes[1].moment", "use N m, lbf ft or lbf in"},
  });
}

TEST_CASE("mistakes: bodies, seats and parts") {
  check_all({
      {"box = [200, 200, \"0.5 m\"]", "~box = [200, 0, 1]", "body \"pedestal\".box[2]", "above 0"},
      {"[[body]]\nname = \"pedestal\"\nbox = [200, 200, \"0.5 m\"]", "~[[body]]\nname = \"pedestal\"",
       "body \"pedestal\"", "has none of mesh, box, cylinder, sphere"},
      {"[[body]]\nname = \"pedestal\"", "~[[body]]\nsphere = { radius = 1 }\nname = \"pedestal\"", "body \"pedestal\"",
       "has both box and sphere"},
      {"[[body]]\nname = \"pedestal\"", "~[[body]]", "body[1].name", "is missing"},
      {"name = \"pedestal\"", "~name = \"\"", "body \"\".name", "is empty"},
      {"name = \"pedestal\"", "~name = \"flange\"", "body \"flange\".name", "a word with a meaning of its own"},
      {"name = \"camera body\"", "~name = \"@camera\"", "body \"@camera\".name", "begins with @"},
      {"name = \"camera body\"", "~name = \"table\"", "body \"table\".name", "already that of the body in line"},
      {"mesh = \"meshes/table.stl\"", "~mesh = \"meshes/table.dxf\"", "body \"table\".mesh", "use stl, obj, ply, gltf"},
      {"mesh_unit = \"in\"", "~mesh_unit = \"inch\"", "body \"table\".mesh_unit", "use mm, cm, m, in, ft or thou"},
      {"mesh = \"meshes/table.stl\"\nmesh_unit = \"in\"", "~mesh = \"meshes/table.stl\"", "body \"table\".mesh_unit",
       "stl files carry no unit; add mesh_unit"},
      {"mesh = \"meshes/door.STEP\"", "mesh = \"meshes/door.STEP\"\n~mesh_unit = \"mm\"", "body \"door\".mesh_unit",
       "step files carry their own unit; leave mesh_unit out"},
      {"mesh = \"meshes/door.STEP\"", "mesh = \"meshes/door.STEP\"\n~deviation = 0", "body \"door\".deviation",
       "above 0"},
      {"mesh = \"meshes/door.STEP\"", "mesh = \"meshes/door.STEP\"\n~solid = \"\"", "body \"door\".solid", "is empty"},
      {"mesh_unit = \"in\"", "mesh_unit = \"in\"\n~deviation = 0.1", "body \"table\".deviation",
       "stl files hold triangles and no solids"},
      {"mesh_unit = \"in\"", "mesh_unit = \"in\"\n~solid = \"top\"", "body \"table\".solid", "or use a STEP file"},
      {"cylinder = { radius = 20, height = 20 }", "cylinder = { radius = 20, height = 20 }\n~deviation = 0.1",
       "body \"cup rubber\".deviation", "without a mesh"},
      {"mass = 21", "~mass = 0", "body \"table\".mass", "above 0"},
      {"[[body]]\nname = \"table\"", "~[[body]]\ndensity = 1\nname = \"table\"", "body \"table\"",
       "both mass and density"},
      {"quat = [0, 2, 0, 0]", "~quat = [0, 0, 0, 0]", "body \"cup rubber\".at.quat", "is a zero quaternion"},
      {"sphere = { radius = 30 }", "~sphere = { radius = 1e9 }", "body \"camera body\".sphere.radius",
       "is more than 100 m"},
      {"cylinder = { radius = 20, height = 20 }", "~cylinder = { radius = 20 }", "body \"cup rubber\".cylinder.height",
       "is missing"},
      {"on = \"flange\"\nsphere", "~on = \"flanje\"\nsphere", "body \"camera body\".on",
       "there is no frame \"flanje\"; did you mean \"flange\"?"},
      {"on = \"table\"\ngrid", "~on = \"@spot\"\ngrid", "seat \"rack\".on", "there is no slot \"@spot\""},
      {"columns = 4", "~columns = 0", "seat \"rack\".grid.columns", "from 1 to 1000"},
      {"rows = 3", "~rows = 3.0", "seat \"rack\".grid.rows", "a whole number"},
      {"pitch = [240, 160]", "~pitch = [240, 0]", "seat \"rack\".grid.pitch", "several seats in one place"},
      {"seat = \"@slot\"", "~seat = \"table\"", "part \"blank\".seat", "\"table\" is a body where a seat is wanted"},
      {"seat = \"@slot\"", "~seat = \"rack 13\"", "part \"blank\".seat", "there is no seat \"rack 13\""},
      {"seat = \"@slot\"\nat =", "~at =", "part \"blank\".at", "has no seat"},
      {"turns = [0, 180]", "~turns = []", "part \"blank\".grasps[1].turns", "empty list"},
      {"turns = \"any\"", "~turns = \"all\"", "part \"blank\".grasps[2].turns", "write \"any\""},
      {"name = \"blank side\"", "~name = \"blank top\"", "part \"blank\".grasps[2]", "is there twice"},
  });
}

TEST_CASE("mistakes: loops of frames") {
  check_all({
      {"name = \"table\"\non = \"world\"", "name = \"table\"\n~on = \"rack 2\"", "body \"table\".on",
       "table on rack 2 on table"},
      {"name = \"table\"\non = \"world\"", "name = \"table\"\n~on = \"table\"", "body \"table\".on", "table on table"},
      {"on = \"pedestal\"", "~on = \"camera body\"", "arm.on", "base on camera body"},
      {"name = \"table\"\non = \"world\"", "name = \"table\"\n~on = \"blank\"", "body \"table\".on",
       "goes round in a loop"},
  });
}

TEST_CASE("mistakes: tools") {
  check_all({
      {"suction = [\"cup\"]", "~suction = [\"cap\"]", "tcp \"cups\".suction[1]", "did you mean \"cup\"?"},
      {"suction = [\"cup\"]", "~suction = \"cup\"", "tcp \"cups\".suction", "is a text where a list is wanted"},
      {"suction = [\"cup\"]", "~suction = [\"cup\", \"cup\"]", "tcp \"cups\".suction[2]", "a second time"},
      {"[[tcp]]\nname = \"cups\"", "~[[tcp]]\njaw = \"jaws\"\nname = \"cups\"", "tcp \"cups\"", "both suction and jaw"},
      {"touch = [\"cup rubber\"]", "~touch = [\"table\"]", "tcp \"cups\".touch[1]", "not part of the end effector"},
      {"grip_time = \"300 ms\"", "~grip_time = -1", "tcp \"cups\".grip_time", "below 0"},
      {"name = \"pinch\"", "name = \"pinch\"\n~on = \"link6\"", "tcp \"pinch\".on", "does not ride on the flange"},
      {"[[suction]]\nname = \"cup\"\non = \"flange\"\nat = { xyz = [0, 0, 120] }\ncircle = 20",
       "~[[suction]]\nname = \"cup\"\non = \"flange\"", "suction \"cup\"", "has none of circle, outline"},
      {"[[suction]]\nname = \"cup\"", "~[[suction]]\noutline = []\nname = \"cup\"", "suction \"cup\"",
       "has both circle and outline"},
      {"name = \"plate zone\"", "~name = \"rack 7\"", "suction \"rack 7\".name", "already that of the seat in line"},
      {"vacuum = \"60 kPa\"", "~vacuum = \"27 inHg\"", "suction \"cup\".vacuum",
       "is 27 inHg (91433 Pa) below ambient, but at 1000 m ambient is only 26.5404 inHg (89876 Pa)"},
      {"vacuum = \"60 kPa\"", "~vacuum = 0", "suction \"cup\".vacuum", "above 0"},
      {"friction = 0.5", "~friction = 0", "suction \"cup\".friction", "above 0"},
      {"friction = 0.5", "~friction = \"0.5\"", "suction \"cup\".friction", "write it bare"},
      {"[[suction]]\nname = \"cup\"\non = \"flange\"", "~[[suction]]\nname = \"cup\"", "suction \"cup\".on",
       "is missing"},
      {"outline = [[0, 0], [100, 0], [100, 100], [0, 100]]", "~outline = [[0, 0], [100, 100], [100, 0], [0, 100]]",
       "suction \"plate zone\".outline", "is no simple polygon"},
      {"holes = [[[10, 10], [20, 10], [10, 20]]]", "~holes = [[[10, 10], [20, 10]]]", "suction \"plate zone\".holes[1]",
       "is no simple polygon"},
      {"flow = \"30 L/min\"", "~flow = \"30 L\"", "suction \"cup\".flow", "use L/min, m^3/h or cfm"},
      {"pads = 3", "~pads = 4", "jaw \"jaws\".pads", "from 2 to 3"},
      {"pads = 3", "pads = 3\n~pad_area = \"20 mm\"", "jaw \"jaws\".pad_area", "mm^2"},
      {"pads = 3", "pads = 3\n~pad = [20, 12]", "jaw \"jaws\".pad", "three pads"},
      {"pads = 3", "pads = 2\n~pad = [20, -12]", "jaw \"jaws\".pad[2]", "above 0"},
      {"force = \"400 N\"", "~force = \"400 kg\"", "jaw \"jaws\".force", "use N, kN or lbf"},
      {"body = \"cup rubber\", open", "~body = \"cup\", open", "jaw \"jaws\".fingers[1].body",
       "is a suction zone where a body"},
  });
}

TEST_CASE("mistakes: cameras, targets and zones") {
  check_all({
      {"resolution = [1280, 960]", "~resolution = [1280.5, 960]", "camera \"wrist camera\".resolution[1]",
       "whole number"},
      {"resolution = [1280, 960]", "~resolution = [1280, 0]", "camera \"wrist camera\".resolution[2]", "is 0"},
      {"view_angle = 60", "~view_angle = 180", "camera \"wrist camera\".view_angle", "not below 180"},
      {"range = [50, 900]", "~range = [900, 50]", "camera \"wrist camera\".range", "wrong way round"},
      {"range = [50, 900]", "~range = [0, 900]", "camera \"wrist camera\".range[1]", "above 0"},
      {"distortion = [0.1, 0, 0, 0, -0.01]", "~distortion = [0.1, 0, 0, 0]", "camera \"wrist camera\".distortion",
       "write [k1, k2, p1, p2, k3]"},
      {"lens_radius = 8", "~lens_radius = -8", "camera \"wrist camera\".lens_radius", "below 0"},
      {"housing = [\"camera body\"]", "~housing = [\"camera boddy\"]", "camera \"wrist camera\".housing[1]",
       "did you mean \"camera body\"?"},
      {"[[camera]]\nname = \"long camera\"", "~[[camera]]\nview_angle = 60\nname = \"long camera\"",
       "camera \"long camera\"", "has both view_angle and focal_length"},
      {"front = 5", "~focus = { distance = 350, f_number = 5.6, circle = 0.007 }", "camera \"wrist camera\".focus",
       "needs focal_length"},
      {"distance = 410", "~distance = 10", "camera \"long camera\".focus.distance", "not beyond the focal length"},
      {"fx = 500", "~fx = 0", "camera \"measured camera\".matrix.fx", "above 0"},
      {"size = [30, 20]", "~size = 30", "target \"corner\".size",
       "is a number where a list of 2 is wanted; write [x, y]"},
      {"box = [900, 700, 600]", "~box = [900, 700, 600, 1]", "zone \"inside mill\".box", "has 4 entries where 3"},
  });
}

TEST_CASE("mistakes: the cycle") {
  check_all({
      {"start = [0, -90, 90, 0, 90, 0]", "~start = [0, -90, 90, 0, 90]", "cycle.start", "write six joint values"},
      {"\"@slot\" = \"rack\"", "~slot = \"rack\"", "cycle.each.slot", "is no slot"},
      {"\"@slot\" = \"rack\"", "~\"@slot\" = \"shelf\"", "cycle.each.\"@slot\"", "there is no grid \"shelf\""},
      {"\"@slot\" = \"rack\"", "~\"@slot\" = [\"rack 1\", \"rack\"]", "cycle.each.\"@slot\"[2]", "a second time"},
      {"\"@slot\" = \"rack\"", "~\"@slot\" = [\"rack 1\", \"rack 99\"]", "cycle.each.\"@back\"",
       "has 12 seats where @slot has 2"},
      {"others = [\"none\", \"blank\", \"finished\"]", "~others = [\"none\", \"table\"]", "cycle.others[2]",
       "is a body where a part is wanted"},
      {"joint_speed = 0.5", "~joint_speed = 1.5", "cycle.joint_speed", "above 1"},
      {"joint_speed = 0.5", "~joint_speed = \"150 %\"", "cycle.joint_speed", "above 1"},
      {"joint_speed = 0.5", "~joint_speed = \"0 %\"", "cycle.joint_speed", "above 0"},
      {"joint_speed = 0.5", "~joint_speed = \"50 percent\"", "cycle.joint_speed", "write 0.5 or \"50 %\""},
      {"tool_speed = \"15 m/min\"", "~tool_speed = \"15 rpm\"", "cycle.tool_speed", "is a unit of angular speed"},
      {"tool_turn = \"90 deg/s\"", "~tool_turn = 0", "cycle.tool_turn", "above 0"},
  });
}

TEST_CASE("mistakes: steps") {
  check_all({
      {"[[step]]\nmove = \"joint\"\nname = \"to the door\"", "~[[step]]\nname = \"to the door\"",
       "step \"to the door\"", "has no verb"},
      {"[[step]]\nwait = \"500 ms\"", "[[step]]\n~wiat = \"500 ms\"", "step[7].wiat", "did you mean \"wait\"?"},
      {"[[step]]\nwait = \"500 ms\"", "~[[step]]\nwait = \"500 ms\"\nremove = \"blank\"", "step[7]", "has both"},
      {"wait = \"500 ms\"", "wait = \"500 ms\"\n~seat = \"rack\"", "step[7].seat", "not a key that is known here"},
      {"wait = \"500 ms\"", "~wait = \"500 mm\"", "step[7].wait", "use s, ms or min"},
      {"wait = \"500 ms\"", "wait = \"500 ms\"\n~name = \"to the door\"", "step \"to the door\".name",
       "already that of the step"},
      {"move = \"joint\"\nname = \"to the door\"", "~move = \"straight\"\nname = \"to the door\"",
       "step \"to the door\".move", "write \"joint\" or \"linear\""},
      {"0, 90, 0], tcp = \"cups\" }", "0, 90, 0]~ }", "step[2].to.tcp", "is missing"},
      {"\"1 rad\"] }", "~\"1 rad\"], at = { } }", "step \"to the door\".to.at", "does not go with joints"},
      {"frame = \"@slot\"", "~frame = \"cup\"", "step \"above the rack\".to.frame", "is a suction zone where a frame"},
      {"to = { joints = [0, -80, 90, 0, 90, 0], tcp = \"cups\" }", "~to = { tcp = \"cups\", frame = \"cup rubber\" }",
       "step[2].to.frame", "rides on the arm"},
      {"near = [0, -90, 90, 0, 90, 0]", "~near = [0, -90]", "step \"above the rack\".to.near", "six joint values"},
      {"pick = \"blank\"", "~pick = \"blink\"", "step[4].pick", "did you mean \"blank\"?"},
      {"grasp = \"blank top\"", "~grasp = \"finished top\"", "step[4].grasp",
       "the part \"blank\" has no grasp \"finished top\""},
      {"approach = 100", "~approach = -100", "step[4].approach", "below 0"},
      {"[120, 0, \"2 in\"]", "~[120, 0]", "step[4].retreat[2]", "write [x, y, z]"},
      {"unhold = \"vacuum plate\"", "~unhold = \"vacuum\"", "step[4].unhold", "there is no hold"},
      {"hold = \"vacuum plate\"\nconfirm", "~confirm", "step[5].confirm", "there is none"},
      {"hold = \"vacuum plate\"\nconfirm", "hold = \"vacuum plate\"\n~drop = \"40 mm\"\nconfirm", "step[5].drop",
       "a hold takes it"},
      {"hold = \"vacuum plate\"\nconfirm = \"0.8 s\"", "~drop = 0", "step[5].drop", "above 0"},
      {"targets = [\"corner\"]", "~targets = []", "step[6].targets", "empty list"},
      {"shift = \"door\"", "~shift = \"camera body\"", "step[8].shift", "rides on the arm"},
      {"to = [{ xyz = [0, 500, 0] }, { }]", "~to = [{ xyz = [0, 500, 0] }]", "step[9].to", "has 1 poses for 2 bodies"},
      {"clear = \"inside mill\"", "~clear = \"mill\"", "step[8].clear", "there is no zone \"mill\""},
      {"into = \"finished\"", "~into = \"blank\"", "step[10].into", "is the part itself"},
      {"seat = \"rack 3\"", "~seat = \"cups\"", "step[12].seat", "is a tcp where a seat is wanted"},
  });
}

TEST_CASE("mistakes: rules, holds and surveys") {
  check_all({
      {"visible = 0.9", "~visible = 98", "rules.visible", "not from 0 to 1"},
      {"clearance = 4", "~clearance = -1", "rules.clearance", "below 0"},
      {"altitude = \"1000 m\"", "~altitude = \"40000 ft\"", "rules.altitude", "is 12192 m"},
      {"stop = \"15 m/s^2\"", "~stop = \"15 m/s\"", "rules.stop", "is a unit of speed where one of acceleration"},
      {"between = [\"cup rubber\", \"end effector\"]", "~between = [\"cup rubber\", \"hand\"]", "contact[1].between[2]",
       "there is no body or part \"hand\""},
      {"between = [\"blank\", \"door\"]", "~between = [\"door\", \"door\"]", "clearance[1].between[2]",
       "is a body where a part"},
      {"between = [\"blank\", \"door\"]", "~between = [\"blank @ rack 4\", \"door\"]", "clearance[1].between[1]",
       "there is no body"},
      {"part = \"blank\"", "~part = \"door\"", "hold \"vacuum plate\".part", "is a body where a part"},
      {"[[hold]]\nname = \"vacuum plate\"", "~[[hold]]\njaw = \"jaws\"\nname = \"vacuum plate\"",
       "hold \"vacuum plate\"", "has both"},
      {"rests = [[-80, -40], [80, -40], [0, 50]]", "~rests = [[-80, -40], [80, -40]]", "hold \"vacuum plate\".rests",
       "give at least three"},
      {"cut = { side_force = \"400 N\"", "~cut = { peak = 2, side_force = \"400 N\"", "hold \"vacuum plate\".cut.peak",
       "serves only with power"},
      {"thrust = \"90 N\"", "~thrust = -1", "hold \"vacuum plate\".cut.thrust", "below 0"},
      {"over = [[-60, -30], [60, -30], [0, 40]]", "~over = []", "hold \"vacuum plate\".cut.over", "empty list"},
      {"between = [\"plate zone\", \"blank\"]", "~between = [\"table\", \"blank\"]", "friction[1].between[1]",
       "is a body where a suction zone, jaw, tcp or hold"},
      {"between = [\"plate zone\", \"blank\"]", "~between = [\"plate zone\"]", "friction[1].between", "[\"holder\""},
      {"value = 0.2", "~value = 0", "friction[1].value", "above 0"},
      {", peak = 3.3", "~", "hold \"clamps\".cut.peak", "is missing"},
      {"force = \"2 kN\"", "~force = 0", "hold \"clamps\".clamps[1].force", "above 0"},
      {"move = \"table\"", "~move = \"cup rubber\"", "survey \"pallet spots\".move", "rides on the arm"},
      {"from = -200, to = 200", "~from = 200, to = -200", "survey \"pallet spots\".x", "swap from and to"},
      {"to = 200, step = 20", "~to = 200, step = 0", "survey \"pallet spots\".x.step", "above 0"},
  });
}

TEST_CASE("mistakes: a cutter") {
  const std::string cut = "hold \"side clamps\".cut", cutter = cut + ".cutter";
  check_all({
      {"teeth = 3", "~teeth = 0", cutter + ".teeth", "is 0"},
      {"teeth = 3", "~teeth = 2.5", cutter + ".teeth", "a whole number"},
      {"teeth = 3, ", "~", cutter + ".teeth", "is missing"},
      {"cutter = { diameter = 10", "~cutter = { diameter = 0", cutter + ".diameter", "above 0"},
      {"helix = 30", "~helix = 90", cutter + ".helix", "90 degrees or more"},
      {"helix = 30", "~helix = \"-1.6 rad\"", cutter + ".helix", "90 degrees or more"},
      {"spindle = \"12000 rpm\"", "~spindle = \"12000 mm/min\"", cutter + ".spindle", "unit of speed where one of"},
      {"spindle = \"12000 rpm\"", "~spindle = 0", cutter + ".spindle", "above 0"},
      {"feed = \"2400 mm/min\"", "~feed = -1", cutter + ".feed", "above 0"},
      // derived: 12000 mm/s at 200 turns a second and three teeth
      {"feed = \"2400 mm/min\"", "~feed = 12000", cutter + ".feed", "makes 20 mm a tooth"},
      {"depth = \"4 mm\"", "~depth = \"-4 mm\"", cutter + ".depth", "above 0"},
      {"width = 6", "~width = 10.1", cutter + ".width", "greater than the cutter's diameter"},
      {"width = 6", "~width = 0", cutter + ".width", "above 0"},
      {"width = 6", "~centred = 1, width = 6", cutter + ".centred", "true or false"},
      {"kc11 = \"700 N/mm^2\"", "~kc11 = \"700 kPa\"", cutter + ".kc11", "unit of pressure"},
      {"kc11 = \"700 N/mm^2\"", "~kc11 = 0", cutter + ".kc11", "above 0"},
      {"mc = 0.25", "~mc = 1", cutter + ".mc", "is 1 or more"},
      {"mc = 0.25", "~mc = -0.1", cutter + ".mc", "below 0"},
      {"radial = 0.4", "~radial = -0.4", cutter + ".radial", "below 0"},
      {"radial = 0.4", "~radial = 0.4, flutes = 3", cutter + ".flutes", "not a key"},
      {"cut = { cutter", "~cut = { side_force = 90, cutter", cut, "has both side_force and cutter"},
      {"cut = { cutter", "~cut = { power = 90, cutter", cut, "has both power and cutter"},
      {"cut = { cutter", "~cut = { lift_force = 90, cutter", cut + ".lift_force", "told by the cutter's helix"},
      {"cut = { cutter", "~cut = { thrust = 90, cutter", cut + ".thrust", "told by the cutter's helix"},
      {"cut = { cutter", "~cut = { peak = 2, cutter", cut + ".peak", "only with power"},
      {"cut = { thrust = \"1.5 kN\" }", "~cut = { height = 5 }", "hold \"drill stop\".cut", "states no force"},
      {"cut = { thrust = \"1.5 kN\" }", "~cut = { thrust = 5, peak = 2 }", "hold \"drill stop\".cut.peak",
       "only with power"},
  });
}

TEST_CASE("mistakes: steps without a cycle") {
  std::string text = whole_text();
  const auto cycle = text.find("[cycle]"), step = text.find("[[step]]");
  text.erase(cycle, step - cycle);
  const auto orphan = read_cell_text(text, "a.toml");
  REQUIRE_FALSE(orphan);
  CHECK(orphan.error().key == "step \"to the door\"");
  CHECK_THAT(orphan.error().mend, Catch::Contains("add [cycle]"));
}

TEST_CASE("a file that is damaged anywhere never crashes, and its error has a place") {
  const std::string good = whole_text();
  std::mt19937 random(20240917);
  const auto below = [&random](std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
  };
  int refused = 0;
  for (int trial = 0; trial < 2000; ++trial) {
    std::string text = good;
    for (std::size_t count = 1 + below(3); count > 0; --count) {
      const std::size_t at = below(text.size());
      switch (below(4)) {
        case 0:
          text[at] = static_cast<char>(below(256));
          break;
        case 1:
          text.erase(at, 1 + below(20));
          break;
        case 2:
          text.insert(at, good.substr(below(good.size()), 1 + below(20)));
          break;
        default:
          text[at] = "0123456789-.\"[]{}=,\n@"[below(21)];
          break;
      }
    }
    const auto cell = read_cell_text(text, "damaged.toml");
    if (cell) continue;
    ++refused;
    INFO(cell.error().text());
    const int lines = static_cast<int>(1 + std::count(text.begin(), text.end(), '\n'));
    REQUIRE(cell.error().line >= 1);
    REQUIRE(cell.error().line <= lines);
    REQUIRE_FALSE(cell.error().what.empty());
    REQUIRE_FALSE(cell.error().mend.empty());
    REQUIRE(cell.error().text().find('\n') == std::string::npos);
  }
  CHECK(refused > 1000);
}
