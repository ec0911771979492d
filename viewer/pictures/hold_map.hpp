// SPDX-License-Identifier: GPL-3.0-or-later
// A fixture and its part seen from above: how many times the cut is held at each place.
#pragma once

#include <string>

#include <tl/expected.hpp>

#include "checks/hold_measure.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

struct HoldMapRequest {
  const Scene& scene;
  HoldMeasure measure;
  int width = 1280, height = 960;
};

/// In the seat's xy: the part's outline, zones, rests, clamps' tips, and over the cut's `over` the factor with the cut
/// at that place alone, of 2000 places (600 with more than three rests). Where all of `over` is held least is marked,
/// with the way the side force points.
Image render_hold_map(const HoldMapRequest& request);

/// A hold measured over a run, where it is asked most. Error: a sentence that says why it has no map: the run doesn't
/// take it, no mass, no cut, no rests, or a jaw, which is judged as a whole.
tl::expected<HoldMapRequest, std::string> hold_map_of(const Scene& scene, const CycleRun& run, HoldId hold);

}  // namespace cellproof
