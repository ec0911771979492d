// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/labels.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {
namespace {

/// Steps from each pixel to the nearest of another group or the picture's rim, diagonals counted as one: two sweeps.
std::vector<int> steps_to_rim(const std::vector<int>& group, int width) {
  const int height = static_cast<int>(group.size()) / width;
  std::vector<int> steps(group.size());
  const auto at = [&](int c, int r) { return static_cast<std::size_t>(r * width + c); };
  const auto nearer = [&](int c, int r, int dc, int dr) {
    const int c2 = c + dc, r2 = r + dr;
    if (c2 < 0 || r2 < 0 || c2 >= width || r2 >= height || group[at(c2, r2)] != group[at(c, r)]) return 1;
    return steps[at(c2, r2)] + 1;
  };
  for (int r = 0; r < height; ++r)
    for (int c = 0; c < width; ++c)
      steps[at(c, r)] = std::min({nearer(c, r, -1, 0), nearer(c, r, -1, -1), nearer(c, r, 0, -1), nearer(c, r, 1, -1)});
  for (int r = height - 1; r >= 0; --r)
    for (int c = width - 1; c >= 0; --c)
      steps[at(c, r)] =
          std::min({steps[at(c, r)], nearer(c, r, 1, 0), nearer(c, r, 1, 1), nearer(c, r, 0, 1), nearer(c, r, -1, 1)});
  return steps;
}

/// Heights for labels that want to be at `wanted` (ascending), at least `apart` from each other, within [top, bottom]:
/// pushed down one by one, then back up from the bottom.
std::vector<double> spread(std::vector<double> wanted, double apart, double top, double bottom) {
  double least = top;
  for (double& y : wanted) {
    y = std::max(y, least);
    least = y + apart;
  }
  double most = bottom;
  for (auto y = wanted.rbegin(); y != wanted.rend(); ++y) {
    *y = std::min(*y, most);
    most = *y - apart;
  }
  return wanted;
}

void draw_column(Canvas& canvas, const Columns& columns, const std::vector<Callout>& callouts, bool left) {
  const double size = columns.size, apart = 1.45 * size;
  std::vector<double> heights;
  for (const Callout& callout : callouts) heights.push_back(callout.anchor.y());
  heights =
      spread(heights, apart, columns.drawing.top + size, columns.drawing.top + columns.drawing.height - 0.5 * size);
  const double edge = left ? columns.drawing.left : columns.drawing.left + columns.drawing.width;
  for (std::size_t i = 0; i < callouts.size(); ++i) {
    const Callout& callout = callouts[i];
    const Lettering lettering{size, callout.colour, callout.bold};
    const double bend = left ? edge + 0.5 * size : edge - 0.5 * size;
    const std::array<Vector2d, 3> leader{Vector2d(edge, heights[i]), Vector2d(bend, heights[i]), callout.anchor};
    canvas.line(leader, {{1, 1, 1}, 0.22 * size, 0.7});
    canvas.line(leader, {callout.colour, 0.075 * size});
    canvas.disk(callout.anchor, 0.22 * size, {1, 1, 1});
    canvas.disk(callout.anchor, 0.16 * size, callout.colour);
    const double start = left ? edge - 0.4 * size - canvas.width_of(callout.words, lettering) : edge + 0.4 * size;
    canvas.text({start, heights[i] + 0.35 * size}, callout.words, lettering);
  }
}

}  // namespace

std::vector<Heart> hearts(const std::vector<int>& group, int width, int count) {
  const std::vector<int> steps = steps_to_rim(group, width);
  std::vector<Heart> found(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < group.size(); ++i) {
    if (group[i] < 0) continue;
    Heart& heart = found[static_cast<std::size_t>(group[i])];
    ++heart.pixels;
    if (steps[i] <= heart.depth) continue;
    heart.depth = steps[i];
    heart.at = {static_cast<double>(i % static_cast<std::size_t>(width)),
                static_cast<double>(i / static_cast<std::size_t>(width))};
  }
  return found;
}

void draw_callouts(Canvas& canvas, const Columns& columns, std::vector<Callout> callouts) {
  std::ranges::stable_sort(callouts, {}, [](const Callout& c) { return c.anchor.y(); });
  const double middle = columns.drawing.left + columns.drawing.width / 2;
  std::vector<Callout> left, right;
  for (Callout& callout : callouts) (callout.anchor.x() < middle ? left : right).push_back(std::move(callout));
  draw_column(canvas, columns, left, true);
  draw_column(canvas, columns, right, false);
}

}  // namespace cellproof
