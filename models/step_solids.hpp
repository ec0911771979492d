// SPDX-License-Identifier: GPL-3.0-or-later
// Solids with true arcs, described for cellproof-cad, which writes them as STEP. mm.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "models/solid_shapes.hpp"

namespace cellproof::models {

using Json = nlohmann::json;

/// Every corner rounded to an arc, as far as the edges are long enough; corners at x = 0 stay sharp.
Json arcs(const Outline& outline, double radius);
Json arc_circle(const Vector2d& centre, double radius);

/// From z = from to z = to.
Json extruded(const Json& outline, const std::vector<Json>& holes, double from, double to);
/// The outline (radius, z) turned about z.
Json turned(const Json& outline);
Json at(Json piece, const Vector3d& xyz, const Eigen::Quaterniond& turn = Eigen::Quaterniond::Identity());

/// The pieces joined.
Json solid(const std::string& name, const std::vector<Json>& pieces);

struct StepFile {
  std::string file;
  std::vector<Json> solids;
};

/// By the cellproof-cad beside this program. Throws std::runtime_error if it can't.
void write_step(const StepFile& step, const std::filesystem::path& folder, const std::string& cell);

}  // namespace cellproof::models
