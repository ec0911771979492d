// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey_grid.hpp"

#include <algorithm>

#include "scene/cell/survey_range.hpp"

namespace cellproof {

namespace {

constexpr std::size_t axes = 4;

MoverGrid mover_grid(const Survey& survey) {
  MoverGrid grid;
  grid.mover = survey.move;
  const std::array<const std::optional<Range>*, axes> ranges{&survey.x, &survey.y, &survey.z, &survey.yaw};
  for (std::size_t i = 0; i < axes; ++i) {
    grid.surveyed[i] = ranges[i]->has_value();
    grid.values[i] = grid.surveyed[i] ? values_of(**ranges[i]) : std::vector<double>{0};
    grid.step[i] = grid.surveyed[i] ? (*ranges[i])->step : 0;
  }
  return grid;
}

}  // namespace

std::size_t SurveyGrid::size() const {
  std::size_t size = 1;
  for (const std::size_t count : counts()) size *= count;
  return size;
}

std::vector<std::size_t> SurveyGrid::counts() const {
  std::vector<std::size_t> all;
  for (const auto& mover : movers)
    for (const auto& values : mover.values) all.push_back(values.size());
  return all;
}

std::vector<std::size_t> SurveyGrid::places_of(std::size_t index) const {
  std::vector<std::size_t> places;
  for (const std::size_t count : counts()) {
    places.push_back(index % count);
    index /= count;
  }
  return places;
}

std::size_t SurveyGrid::index_of(const std::vector<std::size_t>& places) const {
  const auto all = counts();
  std::size_t index = 0;
  for (std::size_t i = all.size(); i-- > 0;) index = index * all[i] + places[i];
  return index;
}

std::vector<Placement> SurveyGrid::placements(std::size_t index) const {
  const auto places = places_of(index);
  std::vector<Placement> all;
  for (std::size_t m = 0; m < movers.size(); ++m) {
    const auto value = [&](std::size_t axis) { return movers[m].values[axis][places[m * axes + axis]]; };
    all.push_back({{value(0), value(1), value(2)}, value(3)});  // by SurveyAxis
  }
  return all;
}

bool SurveyGrid::same_layer(std::size_t a, std::size_t b) const {
  const auto of_a = places_of(a), of_b = places_of(b);
  return std::equal(of_a.begin() + 2, of_a.end(), of_b.begin() + 2);
}

SurveyGrid survey_grid(const Cell& cell, const Survey& survey) {
  SurveyGrid grid;
  grid.movers.push_back(mover_grid(survey));
  for (const auto& other : cell.surveys)
    if (other.name == survey.with) grid.movers.push_back(mover_grid(other));
  return grid;
}

}  // namespace cellproof
