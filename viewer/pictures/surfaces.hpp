// SPDX-License-Identifier: GPL-3.0-or-later
// What the eye of a picture meets behind every sample, and how that becomes colours.
#pragma once

#include <functional>
#include <vector>

#include "scene/sight/sight.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

/// Samples along each side of a pixel.
inline constexpr int samples_a_side = 3;

/// A piece of surface behind one sample, in the eye's frame (x right, y down, z forward).
struct Surface {
  BodyId body;
  float depth = 0;                                   ///< along z (mm)
  Eigen::Vector3f normal = Eigen::Vector3f::Zero();  ///< unit, turned towards the eye
};

/// All samples of a picture, row by row. `veil` is the first surface that is seen through, if any.
struct Surfaces {
  int columns = 0, rows = 0;  ///< of samples
  std::vector<Surface> solid, veil;
  std::vector<unsigned char> veils;  ///< how many surfaces are seen through
};

/// The eye of a picture: a ray for a position in pixels (pixel (0, 0) has its centre at (0, 0)), z = 1 in its
/// direction, none where nothing can be seen; and how wide (mm) a sample is at a depth.
struct Eye {
  int width = 0, height = 0;
  std::function<std::optional<Ray>(const Vector2d& pixel)> ray;
  std::function<double(double depth)> sample_width;
};

/// Says whether a surface is to be seen through; `sample` counts row by row.
using SeeThrough = std::function<bool(std::size_t sample, const Surface& surface)>;

/// Where a sample lies, in pixels.
Vector2d pixel_of_sample(int column, int row);

/// Traces all samples of a picture, through what `see_through` (may be empty) takes.
Surfaces trace(const Eye& eye, const Sight& sight, const SeeThrough& see_through);

/// Lit from the eye, with dark lines where bodies meet and where surfaces crease or step; averaged down to pixels.
Image paint(const Eye& eye, const Surfaces& surfaces, const std::function<Colour(BodyId body)>& colour_of);

/// The body at each pixel's middle, none where nothing is.
std::vector<BodyId> bodies_by_pixel(const Surfaces& surfaces);

}  // namespace cellproof
