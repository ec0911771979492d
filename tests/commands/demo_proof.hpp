// SPDX-License-Identifier: GPL-3.0-or-later
// What the program says of a demo cell, and the meshes that the cell is drawn with.
#pragma once

#include <set>

#include "tests/commands/program.hpp"

namespace cellproof_commands {

struct Proof {
  int status = -1;
  nlohmann::json report;
};

/// A report that goes to standard output is alone there.
inline Proof prove(const fs::path& cell) {
  const Folder folder;
  const Answer answer = run(folder, {"check", cell.string(), "--json", "-"});
  return {answer.status, json_of(answer)};
}

inline std::vector<nlohmann::json> failures(const Proof& proof, const std::string& check) {
  std::vector<nlohmann::json> found;
  for (const auto& finding : proof.report.at("findings")) {
    if (finding.at("severity") == "fail" && finding.at("check") == check) found.push_back(finding);
  }
  return found;
}

inline std::set<std::string> failing_checks(const Proof& proof) {
  std::set<std::string> checks;
  for (const auto& finding : proof.report.at("findings")) {
    if (finding.at("severity") == "fail") checks.insert(finding.at("check").get<std::string>());
  }
  return checks;
}

inline std::set<std::string> between(const nlohmann::json& finding) {
  return finding.at("between").get<std::set<std::string>>();
}

/// Every body is closed and has an inside. How many triangles they have together.
inline std::size_t triangles_of_closed_bodies(const Proof& proof) {
  std::size_t triangles = 0;
  for (const auto& body : proof.report.at("bodies")) {
    INFO(body.dump());
    CHECK(body.at("closed") == true);
    CHECK(body.at("volume_mm3") > 0);
    triangles += body.at("triangles").get<std::size_t>();
  }
  return triangles;
}

/// Every move of the arm has a clearance, and none is under `least_mm`. (A step without one had nothing checked.)
inline void check_moves_keep_distance(const Proof& proof, double least_mm) {
  int moves = 0;
  for (const auto& step : proof.report.at("steps")) {
    INFO(step.dump());
    const auto& clearance = step.at("clearance");
    const bool is_move = step.at("kind") == "joint" || step.at("kind") == "linear";
    if (is_move) {
      ++moves;
      CHECK(clearance.is_object());
    }
    if (!clearance.is_object()) continue;
    CHECK(clearance.at("between").size() == 2);
    CHECK(clearance.at("lower_mm") >= least_mm);
    CHECK(clearance.at("upper_mm") >= clearance.at("lower_mm"));
  }
  CHECK(moves >= 8);  // to the look, to the part, in, out, to the machine, in, out, back
}

inline std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) names.insert(entry.path().filename().string());
  return names;
}

/// The meshes of a demo cell (a folder in models/) are what make-models writes, byte for byte.
inline void check_meshes_are_made_again(const std::string& cell) {
  const Folder folder;
  const fs::path made = folder / "meshes";
  const fs::path kept = fs::path(CELLPROOF_SOURCE_DIR) / "models" / cell / "meshes";
  const std::string command =
      fmt::format("{} {} {} >/dev/null", quoted(CELLPROOF_MAKE_MODELS), cell, quoted(made.string()));
  REQUIRE(std::system(command.c_str()) == 0);
  CHECK(names_in(made) == names_in(kept));
  for (const std::string& name : names_in(made)) {
    INFO(name);
    CHECK((content_of(made / name) == content_of(kept / name)));
  }
}

}  // namespace cellproof_commands
