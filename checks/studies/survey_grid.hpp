// SPDX-License-Identifier: GPL-3.0-or-later
// The placements of a survey, numbered: x runs fastest, then y, z, yaw, then the second thing that moves, if any.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/placement.hpp"

namespace cellproof {

enum class SurveyAxis { x, y, z, yaw };

/// The values along each axis of one thing that moves; an axis that the survey leaves out has the one value 0.
struct MoverGrid {
  std::string mover;  ///< a body, or "base"
  std::array<std::vector<double>, 4> values;
  std::array<bool, 4> surveyed{};  ///< by SurveyAxis
  std::array<double, 4> step{};    ///< mm, mm, mm, rad
};

struct SurveyGrid {
  std::vector<MoverGrid> movers;  ///< one, or two where the survey has `with`

  std::size_t size() const;
  /// Place along every axis, x of the first mover first.
  std::vector<std::size_t> places_of(std::size_t index) const;
  std::size_t index_of(const std::vector<std::size_t>& places) const;
  /// How many values each axis has, in the order of places_of.
  std::vector<std::size_t> counts() const;
  /// Of each mover.
  std::vector<Placement> placements(std::size_t index) const;
  /// Whether two spots differ in x and y of the first mover only.
  bool same_layer(std::size_t a, std::size_t b) const;
};

/// `survey` is one of the cell's.
SurveyGrid survey_grid(const Cell& cell, const Survey& survey);

}  // namespace cellproof
