// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"
#include "scene/cell/survey_range.hpp"

namespace cellproof {
namespace {

constexpr double most_spots = 1e6;

double spots_of(const Survey& survey) {
  double spots = 1;
  for (const auto* range : {&survey.x, &survey.y, &survey.z, &survey.yaw})
    if (*range) spots *= count_of(**range);
  return spots;
}

void check_survey(const Cell& cell, const Survey& survey, Reading& reading) {
  double spots = spots_of(survey);
  if (!survey.with.empty()) {
    const auto other = std::find_if(cell.surveys.begin(), cell.surveys.end(),
                                    [&](const Survey& entry) { return entry.name == survey.with; });
    Origin with = survey.origin;
    with.key += ".with";
    if (other->move == survey.move)
      reading.fail(with, fmt::format("\"{}\" moves \"{}\" too", survey.with, survey.move),
                   "name a survey of something else");
    spots *= spots_of(*other);
  }
  if (spots > most_spots)
    reading.fail(survey.origin, fmt::format("has {:.0f} spots, more than {:.0f}", spots, most_spots),
                 "take longer steps or fewer axes");
}

}  // namespace

void check_surveys(const Cell& cell, Reading& reading) {
  for (const Survey& survey : cell.surveys) check_survey(cell, survey, reading);
}

}  // namespace cellproof
