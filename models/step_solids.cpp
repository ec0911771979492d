// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/step_solids.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <stdexcept>

#include <fmt/format.h>

namespace cellproof::models {

namespace {

namespace fs = std::filesystem;

/// The largest radius up to the one asked whose arc leaves a little of each side.
double rounding_at(const Vector2d& before, const Vector2d& corner, const Vector2d& after, double radius) {
  const Vector2d in = (before - corner).normalized(), out = (after - corner).normalized();
  const double half = std::acos(std::clamp(in.dot(out), -1.0, 1.0)) / 2;
  const double room = 0.49 * std::min((before - corner).norm(), (after - corner).norm());
  return std::min(radius, room * std::tan(half));
}

std::string quoted(const fs::path& path) {
  return fmt::format("'{}'", path.string());
}

}  // namespace

Json arcs(const Outline& outline, double radius) {
  Json corners = Json::array();
  const std::size_t count = outline.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vector2d& corner = outline[i];
    const double rounding =
        corner.x() == 0 ? 0 : rounding_at(outline[(i + count - 1) % count], corner, outline[(i + 1) % count], radius);
    corners.push_back({corner.x(), corner.y(), rounding});
  }
  return corners;
}

Json arc_circle(const Vector2d& centre, double radius) {
  return {{"at", {centre.x(), centre.y()}}, {"radius", radius}};
}

Json extruded(const Json& outline, const std::vector<Json>& holes, double from, double to) {
  return {{"extrude", {{"outline", outline}, {"holes", holes}, {"from", from}, {"to", to}}}};
}

Json turned(const Json& outline) {
  return {{"revolve", outline}};
}

Json at(Json piece, const Vector3d& xyz, const Eigen::Quaterniond& turn) {
  piece["at"] = {{"xyz", {xyz.x(), xyz.y(), xyz.z()}}, {"quat", {turn.w(), turn.x(), turn.y(), turn.z()}}};
  return piece;
}

Json solid(const std::string& name, const std::vector<Json>& pieces) {
  return {{"name", name}, {"add", pieces}};
}

void write_step(const StepFile& step, const fs::path& folder, const std::string& cell) {
  const fs::path file = folder / step.file, described = folder / (step.file + ".json");
  const fs::path helper = fs::read_symlink("/proc/self/exe").parent_path() / "cellproof-cad";
  std::ofstream(described) << Json{{"title", fmt::format("{} {}", cell, step.file)}, {"solids", step.solids}};
  const std::string command = fmt::format("{} write <{} >{}", quoted(helper), quoted(described), quoted(file));
  const int status = std::system(command.c_str());
  fs::remove(described);
  if (status != 0) throw std::runtime_error(fmt::format("cellproof-cad did not write {}", file.string()));
}

}  // namespace cellproof::models
