// SPDX-License-Identifier: GPL-3.0-or-later
// What to draw of an instant: the cell, the nearest pair close by, and what a camera sees.
#pragma once

#include <optional>

#include "checks/report.hpp"
#include "viewer/pictures/camera_picture.hpp"
#include "viewer/pictures/moment.hpp"
#include "viewer/pictures/still.hpp"

namespace cellproof {

/// The whole cell.
StillRequest still_of(const Scene& scene, const Cycle& cycle, const Moment& moment);

/// Marks the nearest of all checked pairs, if any is checked then.
void mark_nearest(const Scene& scene, const Moment& moment, StillRequest& still);

/// How near two bodies are at a moment; none if one of them is no body or not there.
std::optional<ClearanceFigure> gap_between(const Scene& scene, const Moment& moment, const std::string& a,
                                           const std::string& b);

/// Has a still that is near a point look from where least stands before it; what still does is left out, and the detail
/// says so. What the still names and what it hides never stands in the way.
void look_from_free_side(const Scene& scene, const Moment& moment, StillRequest& still);

/// Two points and what lies between them, seen from across, with what stands before them left out. Bodies keep their
/// colours; where both have one colour, the first has the marking colour.
StillRequest close_up_of(const Scene& scene, const Cycle& cycle, const Moment& moment, const ClearanceFigure& pair);

/// The targets that the moment's look names, else all of them.
CameraPictureRequest camera_picture_of(const Scene& scene, const Cycle& cycle, const Moment& moment, CameraId camera);

/// The targets that a camera is to see at a moment: those that its look names, else all.
std::vector<TargetId> targets_at(const Scene& scene, const Moment& moment, const std::string& camera);

}  // namespace cellproof
