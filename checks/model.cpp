// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <iterator>

#include "checks/checks.hpp"
#include "checks/model_cautions.hpp"

namespace cellproof {

Finding model_caution(std::vector<std::string> bodies, std::string message, std::string mend) {
  Finding finding;
  finding.check = Check::model;
  finding.severity = Severity::caution;
  finding.between = std::move(bodies);
  finding.message = std::move(message);
  finding.mend = std::move(mend);
  return finding;
}

const MeshSource* mesh_source_of(const Cell& cell, const std::string& body) {
  for (const auto& entry : cell.bodies)
    if (entry.name == body) return std::get_if<MeshSource>(&entry.shape);
  for (const auto& entry : cell.parts)
    if (entry.name == body) return std::get_if<MeshSource>(&entry.shape);
  return nullptr;
}

std::vector<Finding> check_sizes(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (const auto& body : evidence.scene.bodies)
    if (!body.copy_of_seat) std::ranges::move(size_findings(evidence.scene, body), std::back_inserter(findings));
  return findings;
}

std::vector<Finding> check_model(const Evidence& evidence) {
  std::vector<Finding> findings;
  const auto add = [&](std::vector<Finding> mine) { std::ranges::move(mine, std::back_inserter(findings)); };
  for (const auto& body : evidence.scene.bodies) {
    if (!body.copy_of_seat) add(surface_cautions(evidence.scene, body));
  }
  add(start_cut_cautions(evidence.scene));
  add(idle_rule_cautions(evidence));
  return findings;
}

}  // namespace cellproof
