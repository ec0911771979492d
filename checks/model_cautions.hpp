// SPDX-License-Identifier: GPL-3.0-or-later
// What about a cell's models looks like a mistake, sorted by idea; check_model asks them all.
#pragma once

#include <string>
#include <vector>

#include "checks/measures.hpp"
#include "checks/report.hpp"

namespace cellproof {

/// A caution of the check "model" about these bodies.
Finding model_caution(std::vector<std::string> bodies, std::string message, std::string mend);

/// Sizes and places that suggest another unit or another origin: cautions, or a failure where the body is as good as
/// not there.
std::vector<Finding> size_findings(const Scene& scene, const SceneBody& body);

/// Surfaces that are open, inside out, without thickness, worn, or finer than is of use.
std::vector<Finding> surface_cautions(const Scene& scene, const SceneBody& body);

/// Models of the surroundings among themselves, and of the end effector, that cut each other where the cell begins.
std::vector<Finding> start_cut_cautions(const Scene& scene);

/// Pairs of these whose boxes overlap there: a [[contact]] says that it is meant.
std::vector<std::pair<BodyId, BodyId>> overlapping_at_start(const Scene& scene);

/// [[contact]] and [[clearance]] that name no pair which the cycle ever asks about.
std::vector<Finding> idle_rule_cautions(const Evidence& evidence);

/// The mesh file that a body or part comes from; null for a primitive.
const MeshSource* mesh_source_of(const Cell& cell, const std::string& body);

}  // namespace cellproof
