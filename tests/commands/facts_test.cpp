// SPDX-License-Identifier: GPL-3.0-or-later
// What `facts` says of a model and of a cell.
#include "tests/commands/program.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

/// A wedge of two right angles, legs 2 and 3, 4 deep: 12 in its unit cubed (elementary).
const std::string wedge =
    "v 0 0 0\nv 2 0 0\nv 0 0 3\nv 0 4 0\nv 2 4 0\nv 0 4 3\n"
    "f 1 2 3\nf 4 6 5\nf 1 4 5 2\nf 2 5 6 3\nf 1 3 6 4\n";

}  // namespace

TEST_CASE("facts tells a model's size in both units, its volume and that it is closed") {
  const Folder folder;
  folder.write("wedge.obj", wedge);
  const json model = json_of(run(folder, {"facts", "wedge.obj", "--unit", "in", "--json", "-"})).at("models").at(0);
  CHECK(model.at("name") == "wedge.obj");
  CHECK(model.at("kind").is_null());
  CHECK(model.at("closed") == true);
  CHECK(model.at("open_edges") == 0);
  CHECK(model.at("triangles") == 8);
  CHECK(model.at("volume_mm3").get<double>() == Approx(12 * 25.4 * 25.4 * 25.4));
  CHECK(model.at("size_mm").at(2).get<double>() == Approx(76.2));
  CHECK(model.at("size_in").at(2).get<double>() == Approx(3));
  CHECK(model.at("box_mm").at(1).at(1).get<double>() == Approx(101.6));
  CHECK(model.at("mass_kg").is_null());
  CHECK(model.at("solids").size() == 1);
  const Answer text = run(folder, {"facts", "wedge.obj", "--unit", "in"});
  CHECK(text.status == 0);
  CHECK(text.output.find("50.8 x 101.6 x 76.2 mm = 2 x 4 x 3 in") != std::string::npos);
  CHECK(text.output.find("closed") != std::string::npos);
}

TEST_CASE("facts lists solids, and says what is open") {
  const Folder folder;
  folder.write("two.obj", wedge + "v 9 0 0\nv 10 0 0\nv 9 1 0\nf 7 8 9\n");
  const json model = json_of(run(folder, {"facts", "two.obj", "--unit", "mm", "--json", "-"})).at("models").at(0);
  CHECK(model.at("closed") == false);
  CHECK(model.at("volume_mm3").is_null());
  CHECK(model.at("open_edges") == 3);
  REQUIRE(model.at("solids").size() == 2);
  CHECK(model.at("solids").at(0).at("volume_mm3").get<double>() == Approx(12));
  CHECK(model.at("solids").at(1).at("closed") == false);
  CHECK(run(folder, {"facts", "two.obj", "--unit", "mm"}).output.find("3 open edges") != std::string::npos);
}

TEST_CASE("facts lists a cell's bodies and parts with their masses") {
  const Folder folder;
  folder.write("wedge.obj", wedge);
  folder.write("cell.toml", replaced(small_cell, "box = [20, 20, 20]",
                                     "mesh = \"wedge.obj\"\nmesh_unit = \"cm\"\ndensity = \"7.85 g/cm^3\"") +
                                "[[part]]\nname = \"plug\"\ncylinder = { radius = 5, height = 20 }\nmass = 0.3\n");
  const json answer = json_of(run(folder, {"facts", "cell.toml", "--json", "-"}));
  REQUIRE(answer.at("models").size() == 3);
  CHECK(answer.at("models").at(0).at("mass_kg").is_null());
  CHECK(answer.at("models").at(1).at("name") == "hand");
  CHECK(answer.at("models").at(1).at("kind") == "end effector");
  CHECK(answer.at("models").at(1).at("mass_kg").get<double>() == Approx(12 * 7.85e-3));
  CHECK(answer.at("models").at(2).at("mass_kg").get<double>() == Approx(0.3));
  CHECK(answer.at("models").at(2).at("deviation_mm").get<double>() > 0);
  CHECK(run(folder, {"facts", "cell.toml"}).output.find("hand (end effector)") != std::string::npos);
}

TEST_CASE("facts asks for a unit where the format has none, and refuses one where it has") {
  const Folder folder;
  folder.write("wedge.obj", wedge);
  folder.write("cell.toml", small_cell);
  folder.write("a.3mf", "PK");
  const auto refused = [&](const std::vector<std::string>& words, const std::string& why) {
    const Answer answer = run(folder, words);
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(why) != std::string::npos);
    CHECK(answer.output.empty());
  };
  refused({"facts", "wedge.obj"}, "add --unit mm");
  refused({"facts", "wedge.obj", "--unit", "kg"}, "--unit: ");
  refused({"facts", "cell.toml", "--unit", "mm"}, "leave --unit out");
  refused({"facts", "a.3mf", "--unit", "mm"}, "leave --unit out");
  refused({"facts", "a.3mf"}, "a.3mf");
  refused({"facts", "none.stl", "--unit", "mm"}, "none.stl");
}

TEST_CASE("facts takes many files, models and cells, with one unit for those that carry none") {
  const Folder folder;
  folder.write("wedge.obj", wedge);
  folder.write("twice.obj", wedge);
  folder.write("cell.toml", small_cell);
  const json answer =
      json_of(run(folder, {"facts", "wedge.obj", "cell.toml", "twice.obj", "--unit", "in", "--json", "-"}));
  REQUIRE(answer.at("files").size() == 3);
  CHECK(answer.at("files").at(0).at("file") == "wedge.obj");
  CHECK(answer.at("files").at(0).at("models").at(0).at("volume_mm3").get<double>() == Approx(12 * 25.4 * 25.4 * 25.4));
  CHECK(answer.at("files").at(1).at("models").size() == 2);
  CHECK(answer.at("files").at(2).at("models").at(0).at("name") == "twice.obj");
  const Answer text = run(folder, {"facts", "wedge.obj", "cell.toml", "--unit", "in"});
  CHECK(text.output.find("cell.toml:\n") != std::string::npos);
  // one that can't be read: nothing is said of the others
  const Answer refused = run(folder, {"facts", "wedge.obj", "none.obj", "--unit", "in", "--json", "out.json"});
  CHECK(refused.status == 2);
  CHECK(refused.output.empty());
  CHECK_FALSE(fs::exists(folder / "out.json"));
}
