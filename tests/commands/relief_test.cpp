// SPDX-License-Identifier: GPL-3.0-or-later
// Cutting a body free of a camera's view, as a user does it.
#include <algorithm>

#include "tests/commands/program.hpp"

using namespace cellproof_commands;

namespace {

/// A plate that rides with the eye, from 40 to 60 ahead of it; the eye's picture is as wide as far away at 90 degrees.
std::string plate_cell() {
  std::string cell = replaced(small_cell, "view_angle = 60\nrange = [1, 5000]", "view_angle = 90\nrange = [1, 100]");
  cell = replaced(cell, "resolution = [64, 48]", "resolution = [64, 64]");
  return cell +
         "[[body]]\nname = \"plate\"\non = \"flange\"\nat = { xyz = [0, 0, 110] }\nbox = [200, 200, 20]\nmass = 2\n";
}

std::vector<std::string> relief_of(const std::string& body, const std::string& out) {
  return {"relief", "cell.toml", "--camera", "eye", "--body", body, "--out", out, "--json", "-"};
}

}  // namespace

TEST_CASE("relief of a plate in a pyramid of view takes off the closed form's volume and is seen through after") {
  const Folder folder;
  folder.write("cell.toml", plate_cell());
  const Answer answer = run(folder, relief_of("plate", "cut.stl"));
  REQUIRE(answer.status == 0);
  const auto json = json_of(answer);
  // a frustum of 45 degrees from 40 to 60: 4/3 (60^3 - 40^3) (elementary); bar 1e-6
  const double removed = 4.0 / 3 * (216000 - 64000);
  CHECK(json["volume_removed_mm3"].get<double>() == Approx(removed).epsilon(1e-9));
  CHECK(json["mass_after"]["kg"].get<double>() == Approx(2 * (1 - removed / 800000)).epsilon(1e-9));
  CHECK(json["pieces_mm3"].size() == 1);
  const auto blocks = [](const nlohmann::json& view) {
    const auto& by = view["blocked_by"];
    return std::any_of(by.begin(), by.end(), [](const nlohmann::json& one) { return one["body"] == "plate"; });
  };
  CHECK(blocks(json["looks"][0]["before"]));
  CHECK_FALSE(blocks(json["looks"][0]["after"]));
  // What was written is what is told: the plate less the frustum, its outer size kept.
  const auto written = json_of(run(folder, {"facts", "cut.stl", "--unit", "mm", "--json", "-"}))["models"][0];
  CHECK(written["closed"] == true);
  CHECK(written["volume_mm3"].get<double>() == Approx(800000 - removed).epsilon(1e-5));
  CHECK(written["size_mm"][0].get<double>() == Approx(200));
  CHECK(written["size_mm"][1].get<double>() == Approx(200));
  CHECK(written["size_mm"][2].get<double>() == Approx(20));
}

TEST_CASE("relief says what it can't do and writes nothing") {
  const Folder folder;
  folder.write("cell.toml", plate_cell());
  const auto refused = [&](const std::string& body, const std::string& out, const std::string& word) {
    const Answer answer = run(folder, relief_of(body, out));
    INFO(answer.error);
    CHECK(answer.status == 2);
    CHECK(is_one_line(answer.error));
    CHECK(answer.error.find(word) != std::string::npos);
    CHECK_FALSE(fs::exists(folder / out));
  };
  refused("hand", "cut.stl", "nothing to cut");
  refused("plate", "cut.step", "no STEP file");
  refused("plate", "cut.png", "--out");
  refused("nobody", "cut.stl", "--body");
}

TEST_CASE("the drawn flange cell sees its arrow with the finger that relief wrote") {
  const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "flange-cell";
  const Folder folder;
  fs::copy(demo, folder / "cell", fs::copy_options::recursive);
  const auto told =
      json_of(run(folder, {"relief", "cell/as-drawn.toml", "--camera", "wrist camera", "--body", "right finger",
                           "--targets", "--margin", "1", "--out", "cell/cut.stl", "--json", "-"}));
  CHECK(told["looks"][0]["before"]["targets"][0]["visible"] < 0.9);
  CHECK(told["looks"][0]["after"]["targets"][0]["visible"] == 1.0);
  CHECK(told["volume_removed_mm3"] > 1);

  const std::string name = "name = \"right finger\"";
  std::string cell = content_of(demo / "as-drawn.toml");
  const std::size_t mesh = cell.find("mesh = ", cell.find(name));
  cell.replace(mesh, cell.find('\n', mesh) - mesh, "mesh = \"cut.stl\"");
  folder.write("cell/changed.toml", cell);
  const auto report = json_of(run(folder, {"check", "cell/changed.toml", "--json", "-"}));
  REQUIRE(report["views"].size() == 1);
  CHECK(report["views"][0]["targets"][0]["visible"] == 1.0);
  for (const auto& finding : report["findings"]) CHECK(finding["check"] != "sightline");
  int fingers = 0;
  for (const auto& body : report["bodies"]) {
    if (body["name"] != "right finger") continue;
    ++fingers;
    CHECK(body["closed"] == true);
    CHECK(body["volume_mm3"].get<double>() ==
          Approx(told["volume_before_mm3"].get<double>() - told["volume_removed_mm3"].get<double>()).epsilon(1e-6));
  }
  CHECK(fingers == 1);
}
