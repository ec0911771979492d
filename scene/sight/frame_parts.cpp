// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/frame_parts.hpp"

#include <algorithm>
#include <optional>

namespace cellproof {
namespace {

/// A place on the line with its pixel and how far that is inside of the picture's edge (pixels).
struct SeenPlace {
  double s;
  std::optional<Vector2d> pixel;
  double inside;
  bool seen() const { return inside >= 0; }
};

SeenPlace place_at(const Camera& camera, const LineInCamera& line, double s) {
  const auto pixel = project(camera, line.at(s));
  if (!pixel) return {s, pixel, -std::numeric_limits<double>::infinity()};
  return {s, pixel,
          std::min(
              {pixel->x() + 0.5, camera.width - 0.5 - pixel->x(), pixel->y() + 0.5, camera.height - 0.5 - pixel->y()})};
}

/// Where the line passes the picture's edge, between a place seen and one not seen.
double crossing(const Camera& camera, const LineInCamera& line, double seen, double unseen) {
  for (int round = 0; round < 40; ++round) {
    const double middle = (seen + unseen) / 2;
    (place_at(camera, line, middle).seen() ? seen : unseen) = middle;
  }
  return seen;
}

/// True if the line can't have passed the picture's edge and come back between two places on one side of it.
bool stays(const SeenPlace& a, const SeenPlace& b) {
  if (!a.pixel || !b.pixel) return false;
  constexpr double most_bent = 1.5;  // length of the way in the picture over its chord's
  return std::abs(a.inside) + std::abs(b.inside) > most_bent * (*a.pixel - *b.pixel).norm();
}

class FrameSearch {
 public:
  FrameSearch(const Camera& camera, const LineInCamera& line) : camera_(camera), line_(line) {}

  void between(const SeenPlace& a, const SeenPlace& b, int depth) {
    constexpr int deepest = 6, deepest_unseen = 2;  // places without a pixel cost the most to tell
    const int limit = a.pixel || b.pixel ? deepest : deepest_unseen;
    if (a.seen() != b.seen()) {
      changes.push_back(a.seen() ? crossing(camera_, line_, a.s, b.s) : crossing(camera_, line_, b.s, a.s));
    } else if (depth < limit && !stays(a, b)) {
      const SeenPlace middle = place_at(camera_, line_, (a.s + b.s) / 2);
      between(a, middle, depth + 1);
      between(middle, b, depth + 1);
    }
  }
  std::vector<double> changes;  ///< where the line comes into the picture or leaves it, from left to right

 private:
  const Camera& camera_;
  const LineInCamera& line_;
};

}  // namespace

Vector3d nearest_to_origin(const LineInCamera& line) {
  const double squared = line.way.squaredNorm();
  return line.at(squared > 0 ? std::clamp(-line.from.dot(line.way) / squared, 0.0, 1.0) : 0);
}

std::vector<std::pair<double, double>> parts_in_picture(const Camera& camera, const LineInCamera& line) {
  constexpr int places = 16;
  FrameSearch search(camera, line);
  SeenPlace last = place_at(camera, line, 0);
  if (last.seen()) search.changes.push_back(0);
  for (int i = 1; i <= places; ++i) {
    const SeenPlace next = place_at(camera, line, static_cast<double>(i) / places);
    search.between(last, next, 0);
    last = next;
  }
  if (last.seen()) search.changes.push_back(1);
  constexpr double rounding = 1e-10;
  std::vector<std::pair<double, double>> parts;
  for (std::size_t i = 0; i + 1 < search.changes.size(); i += 2) {
    double from = search.changes[i], to = search.changes[i + 1];
    if (from < rounding) from = 0;
    if (to > 1 - rounding) to = 1;
    parts.emplace_back(from, to);
  }
  return parts;
}

}  // namespace cellproof
