// SPDX-License-Identifier: GPL-3.0-or-later
// A survey seen from above: every spot to scale with what stands around it, a panel a layer.
#pragma once

#include "checks/studies/survey_result.hpp"
#include "scene/scene.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

struct SurveyMapRequest {
  const Scene& scene;  ///< as the file states it
  const SurveyResult& result;
  int width = 1280, height = 960;
};

/// First the whole cell in plan; then each panel is a z and yaw of the first mover; a second mover stands as for the
/// best spot (else as for the first). Passing spots are darker the more they have in hand, failing ones carry the
/// letter of their reason. The panels' axes are those of the frame that the mover stands on. Not more than
/// `most_panels` layers, the best one among them.
Image render_survey_map(const SurveyMapRequest& request);

inline constexpr std::size_t most_panels = 12;

}  // namespace cellproof
