// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/surfaces.hpp"

#include <algorithm>
#include <cmath>

#include "scene/basics/parallel.hpp"
#include "viewer/pictures/palette.hpp"

namespace cellproof {
namespace {

constexpr int most_veils = 16;           // surfaces before which a ray gives up seeing through
constexpr double past_a_surface = 0.02;  // mm
constexpr float flush_veil = 0.3F;       // mm: a surface this little before another hides nothing

/// A surface as met, and whether the ray leaves its body there: then it began within.
struct Met {
  Surface surface;
  bool leaving = false;
};

Met met_by(const Ray& ray, const Hit& hit, BodyId body) {
  Met met;
  met.surface.body = body;
  met.surface.depth = static_cast<float>(ray.origin.z() + hit.along * ray.direction.z());
  Vector3d normal = hit.normal.normalized();
  met.leaving = normal.dot(ray.direction) > 0;
  if (met.leaving) normal = -normal;
  met.surface.normal = normal.cast<float>();
  return met;
}

/// A ray on its way through veils.
struct Walk {
  Ray ray;
  std::size_t sample = 0;
  Surface last_veil;
};

/// Where a ray that passed a veil leaves a body, that body's face lay flush with the veil and was passed as well.
void settle(const Walk& walk, const Met& met, Surfaces& surfaces) {
  Surface& solid = surfaces.solid[walk.sample];
  solid = met.surface;
  if (met.leaving && walk.last_veil.body && walk.last_veil.body != solid.body) {
    solid.depth = walk.last_veil.depth;
    solid.normal = walk.last_veil.normal;
  }
  const bool hides_nothing = solid.depth - surfaces.veil[walk.sample].depth < flush_veil;
  if (surfaces.veils[walk.sample] != 1 || !hides_nothing) return;
  surfaces.veils[walk.sample] = 0;
  surfaces.veil[walk.sample] = Surface{};
}

std::vector<Walk> walks_of_row(const Eye& eye, int row, int columns) {
  std::vector<Walk> walks;
  for (int column = 0; column < columns; ++column)
    if (const auto ray = eye.ray(pixel_of_sample(column, row)))
      walks.push_back({*ray, pixel_number(column, row, columns), Surface{}});
  return walks;
}

void trace_row(const Eye& eye, const Sight& sight, const SeeThrough& see_through, int row, Surfaces& surfaces) {
  std::vector<Walk> walks = walks_of_row(eye, row, surfaces.columns);
  std::vector<Ray> rays;
  std::vector<Hit> hits;
  while (!walks.empty()) {
    rays.clear();
    for (const Walk& walk : walks) rays.push_back(walk.ray);
    hits.assign(rays.size(), Hit{});
    sight.first_hits(rays, hits);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < rays.size(); ++i) {
      if (!hits[i].body) continue;
      Walk walk = walks[i];
      const Met met = met_by(walk.ray, hits[i], sight.body_of(hits[i]));
      unsigned char& veils = surfaces.veils[walk.sample];
      if (veils >= most_veils || !see_through || !see_through(walk.sample, met.surface)) {
        settle(walk, met, surfaces);
        continue;
      }
      if (veils++ == 0) surfaces.veil[walk.sample] = met.surface;
      walk.ray.near = hits[i].along + past_a_surface;
      walk.last_veil = met.surface;
      walks[kept++] = walk;
    }
    walks.resize(kept);
  }
}

/// Light from the eye with a little from above left, so that faces of a box differ.
Colour lit(const Colour& colour, const Eigen::Vector3f& normal) {
  const float head = std::max(0.0F, -normal.z());
  const float side = std::max(0.0F, normal.dot(Eigen::Vector3f(-0.35F, -0.75F, -0.56F)));
  const double light = 0.52 + 0.30 * static_cast<double>(head) + 0.24 * static_cast<double>(side);
  return blend(Colour{}, colour, std::min(light, 1.05));
}

/// Faces of two bodies in one plane: rays that meet them take now the one and now the other.
bool flush(const Surface& a, const Surface& b) {
  return a.body && b.body && a.normal.dot(b.normal) > 0.999F &&
         std::abs(static_cast<double>(a.normal.z()) * (static_cast<double>(a.depth) - static_cast<double>(b.depth))) <
             0.3;
}

/// How dark the line between two neighbouring samples is, 0 for none.
double line_between(const Surface& a, const Surface& b, double width) {
  if (a.body != b.body && flush(a, b)) return 0;
  if (a.body != b.body) return 0.85;
  if (!a.body) return 0;
  constexpr float crease = 0.92F;  // cosine of some 23°
  if (a.normal.dot(b.normal) < crease) return 0.5;
  const auto slope = [](const Surface& s) {
    return (std::abs(s.normal.x()) + std::abs(s.normal.y())) / std::max(0.02F, std::abs(s.normal.z()));
  };
  const double steepest = static_cast<double>(std::max(slope(a), slope(b)));
  return std::abs(static_cast<double>(a.depth) - static_cast<double>(b.depth)) > width * (4 + 3 * steepest) ? 0.6 : 0;
}

/// The darkest line that a sample lies on, towards its four neighbours.
double line_at(const std::vector<Surface>& layer, int columns, int rows, int column, int row, double width) {
  const auto at = [&](int c, int r) -> const Surface& { return layer[pixel_number(c, r, columns)]; };
  double darkest = 0;
  if (column > 0) darkest = std::max(darkest, line_between(at(column, row), at(column - 1, row), width));
  if (row > 0) darkest = std::max(darkest, line_between(at(column, row), at(column, row - 1), width));
  if (column + 1 < columns) darkest = std::max(darkest, line_between(at(column, row), at(column + 1, row), width));
  if (row + 1 < rows) darkest = std::max(darkest, line_between(at(column, row), at(column, row + 1), width));
  return darkest;
}

Colour sample_colour(const Eye& eye, const Surfaces& surfaces, int column, int row,
                     const std::function<Colour(BodyId body)>& colour_of) {
  const std::size_t sample = pixel_number(column, row, surfaces.columns);
  const auto line = [&](const std::vector<Surface>& layer) {
    const double width = eye.sample_width(static_cast<double>(layer[sample].depth));
    return line_at(layer, surfaces.columns, surfaces.rows, column, row, width);
  };
  const Surface& solid = surfaces.solid[sample];
  Colour colour = !solid.body ? palette::paper : lit(colour_of(solid.body), solid.normal);
  colour = blend(colour, palette::ink, line(surfaces.solid));
  const Surface& veil = surfaces.veil[sample];
  if (veil.body) {
    const double share = surfaces.veils[sample] > 1 ? 0.25 : 0.16;
    colour = blend(colour, lit(colour_of(veil.body), veil.normal), share);
  }
  return blend(colour, palette::ink, 0.45 * line(surfaces.veil));
}

}  // namespace

Vector2d pixel_of_sample(int column, int row) {
  return {(column + 0.5) / samples_a_side - 0.5, (row + 0.5) / samples_a_side - 0.5};
}

Surfaces trace(const Eye& eye, const Sight& sight, const SeeThrough& see_through) {
  Surfaces surfaces;
  surfaces.columns = eye.width * samples_a_side;
  surfaces.rows = eye.height * samples_a_side;
  const std::size_t count = pixel_number(0, surfaces.rows, surfaces.columns);
  surfaces.solid.resize(count);
  surfaces.veil.resize(count);
  surfaces.veils.resize(count);
  parallel_for(static_cast<std::size_t>(surfaces.rows), 0, {},
               [&](std::size_t row) { trace_row(eye, sight, see_through, static_cast<int>(row), surfaces); });
  return surfaces;
}

Image paint(const Eye& eye, const Surfaces& surfaces, const std::function<Colour(BodyId body)>& colour_of) {
  Image image = blank_image(eye.width, eye.height, palette::paper);
  parallel_for(static_cast<std::size_t>(eye.height), 0, {}, [&](std::size_t row_number) {
    const int row = static_cast<int>(row_number);
    for (int column = 0; column < eye.width; ++column) {
      Colour sum;
      for (int down = 0; down < samples_a_side; ++down)
        for (int right = 0; right < samples_a_side; ++right) {
          const Colour one =
              sample_colour(eye, surfaces, column * samples_a_side + right, row * samples_a_side + down, colour_of);
          sum = {sum.red + one.red, sum.green + one.green, sum.blue + one.blue};
        }
      image.at(column, row) = packed(blend(Colour{}, sum, 1.0 / (samples_a_side * samples_a_side)));
    }
  });
  return image;
}

std::vector<BodyId> bodies_by_pixel(const Surfaces& surfaces) {
  const int width = surfaces.columns / samples_a_side, height = surfaces.rows / samples_a_side;
  std::vector<BodyId> bodies;
  for (int row = 0; row < height; ++row)
    for (int column = 0; column < width; ++column) {
      const int r = row * samples_a_side + samples_a_side / 2, c = column * samples_a_side + samples_a_side / 2;
      bodies.push_back(surfaces.solid[pixel_number(c, r, surfaces.columns)].body);
    }
  return bodies;
}

}  // namespace cellproof
