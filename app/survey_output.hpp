// SPDX-License-Identifier: GPL-3.0-or-later
// A survey as text, CSV and JSON.
#pragma once

#include <string>

#include "checks/studies/survey_result.hpp"
#include "scene/scene.hpp"

namespace cellproof {

/// For the terminal: a map of the best spot's layer in letters, why spots fail, the best spot and what to write.
std::string survey_text(const Scene& scene, const SurveyResult& result);
std::string survey_csv(const SurveyResult& result);
std::string survey_json(const SurveyResult& result);

}  // namespace cellproof
