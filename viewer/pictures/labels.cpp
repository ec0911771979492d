// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/labels.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace cellproof {
namespace {

/// Steps from each pixel to the nearest of another group or the picture's rim, diagonals counted as one: two sweeps.
std::vector<int> steps_to_rim(const std::vector<BodyId>& group, int width) {
  const int height = static_cast<int>(group.size()) / width;
  std::vector<int> steps(group.size());
  const auto at = [&](int c, int r) { return pixel_number(c, r, width); };
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

/// Heights for labels that want to be at `wanted`, at least `apart` from each other and within [top, bottom]: labels
/// that meet form a block about the mean of what they want (pool adjacent violators), then the rims push back.
std::vector<double> spread(const std::vector<double>& wanted, double apart, double top, double bottom) {
  struct Block {
    double sum = 0;
    int count = 0;
    double mean() const { return sum / count; }
  };
  std::vector<Block> blocks;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    blocks.push_back({wanted[i] - apart * static_cast<double>(i), 1});
    while (blocks.size() > 1 && blocks[blocks.size() - 2].mean() >= blocks.back().mean()) {
      const Block last = blocks.back();
      blocks.pop_back();
      blocks.back().sum += last.sum;
      blocks.back().count += last.count;
    }
  }
  std::vector<double> heights;
  for (const Block& block : blocks)
    for (int i = 0; i < block.count; ++i) heights.push_back(block.mean() + apart * static_cast<double>(heights.size()));
  double most = bottom;
  for (auto y = heights.rbegin(); y != heights.rend(); ++y) {
    *y = std::min(*y, most);
    most = *y - apart;
  }
  double least = top;
  for (double& y : heights) {
    y = std::max(y, least);
    least = y + apart;
  }
  return heights;
}

/// On which side of the line from a to b the point lies, by sign.
double side_of(const Vector2d& a, const Vector2d& b, const Vector2d& point) {
  return (b - a).x() * (point - a).y() - (b - a).y() * (point - a).x();
}

bool cross(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d) {
  return side_of(a, b, c) * side_of(a, b, d) < 0 && side_of(c, d, a) * side_of(c, d, b) < 0;
}

/// Neighbours in a column whose leaders cross change places until none do.
void untangle(std::vector<Callout>& callouts, const std::vector<double>& heights, double edge) {
  for (std::size_t round = 0; round < callouts.size(); ++round)
    for (std::size_t i = 0; i + 1 < callouts.size(); ++i)
      if (cross({edge, heights[i]}, callouts[i].anchor, {edge, heights[i + 1]}, callouts[i + 1].anchor))
        std::swap(callouts[i], callouts[i + 1]);
}

constexpr double most_of_picture = 0.45;  ///< the widest name, by the picture's width

void draw_column(Canvas& canvas, const Columns& columns, std::vector<Callout> callouts, bool left) {
  const double size = columns.size, apart = 1.45 * size;
  std::vector<double> heights;
  for (const Callout& callout : callouts) heights.push_back(callout.anchor.y());
  heights =
      spread(heights, apart, columns.drawing.top + size, columns.drawing.top + columns.drawing.height - 0.5 * size);
  const double edge = left ? columns.drawing.left : columns.drawing.left + columns.drawing.width;
  const double inwards = left ? 1 : -1;
  untangle(callouts, heights, edge + inwards * 0.5 * size);
  for (std::size_t i = 0; i < callouts.size(); ++i) {
    const Callout& callout = callouts[i];
    const Lettering lettering{size, callout.colour, callout.bold};
    const std::string words = shortened(canvas, callout.words, lettering, most_of_picture * columns.right);
    const double width = canvas.width_of(words, lettering);
    // a long name begins at the picture's rim and its leader further in
    const double start = left ? std::max(edge - 0.4 * size - width, 0.6 * size)
                              : std::min(edge + 0.4 * size, columns.right - 0.6 * size - width);
    const double end = left ? start + width + 0.4 * size : start - 0.4 * size;
    const std::array<Vector2d, 3> leader{Vector2d(end, heights[i]), Vector2d(end + inwards * 0.5 * size, heights[i]),
                                         callout.anchor};
    canvas.line(leader, {{1, 1, 1}, 0.22 * size, 0.7});
    canvas.line(leader, {callout.colour, 0.075 * size});
    canvas.disk(callout.anchor, 0.22 * size, {1, 1, 1});
    canvas.disk(callout.anchor, 0.16 * size, callout.colour);
    canvas.text({start, heights[i] + 0.35 * size}, words, lettering);
  }
}

}  // namespace

Table<BodyId, Heart> hearts(const std::vector<BodyId>& bodies, int width, std::size_t count) {
  const std::vector<int> steps = steps_to_rim(bodies, width);
  const auto columns = static_cast<std::size_t>(width);
  Table<BodyId, Heart> found(count);
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    if (!bodies[i]) continue;
    Heart& heart = found[bodies[i]];
    ++heart.pixels;
    if (steps[i] <= heart.depth) continue;
    heart.depth = steps[i];
    heart.at = {static_cast<double>(i % columns), static_cast<double>(i / columns)};
  }
  return found;
}

void draw_callouts(Canvas& canvas, const Columns& columns, std::vector<Callout> callouts) {
  std::ranges::stable_sort(callouts, {}, [](const Callout& c) { return c.anchor.y(); });
  const double middle = columns.drawing.left + columns.drawing.width / 2;
  std::vector<Callout> left, right;
  for (Callout& callout : callouts) (callout.anchor.x() < middle ? left : right).push_back(std::move(callout));
  draw_column(canvas, columns, std::move(left), true);
  draw_column(canvas, columns, std::move(right), false);
}

}  // namespace cellproof
