// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/slack.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "scene/basics/parallel.hpp"

namespace cellproof {

namespace {

constexpr int directions_of_a_disk = 16;
constexpr double parts_of_a_step = 16;

const MoverGrid& first_mover(const SurveyGrid& grid) {
  return grid.movers.front();
}

Vector2d xy_of(const SurveyGrid& grid, std::size_t index) {
  return grid.placements(index).front().offset.head<2>();
}

/// Unit vectors along what is surveyed.
std::vector<Vector2d> directions(const MoverGrid& mover) {
  if (!mover.surveyed[1]) return {Vector2d(1, 0), Vector2d(-1, 0)};
  if (!mover.surveyed[0]) return {Vector2d(0, 1), Vector2d(0, -1)};
  std::vector<Vector2d> all;
  for (int i = 0; i < directions_of_a_disk; ++i) {
    const double angle = 2 * std::numbers::pi * i / directions_of_a_disk;
    all.emplace_back(std::cos(angle), std::sin(angle));
  }
  return all;
}

double room_to_the_rim(const MoverGrid& mover, const Vector2d& at) {
  double room = std::numeric_limits<double>::infinity();
  for (std::size_t axis = 0; axis < 2; ++axis) {
    if (!mover.surveyed[axis]) continue;
    const auto& values = mover.values[axis];
    room = std::min({room, at[static_cast<int>(axis)] - values.front(), values.back() - at[static_cast<int>(axis)]});
  }
  return room;
}

double tolerance_of(const MoverGrid& mover) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t axis = 0; axis < 2; ++axis)
    if (mover.surveyed[axis]) least = std::min(least, mover.step[axis]);
  return least / parts_of_a_step;
}

/// Placements about the best spot.
struct About {
  std::vector<Placement> best;
  const SpotJudge& judge;
  std::stop_token stop;

  bool passes(const Vector2d& off) const {
    auto there = best;
    there.front().offset.head<2>() += off;
    return judge(there).pass;
  }

  /// How far placements pass on the way along `direction`, where the end at `far` fails: within `tolerance`.
  double last_passing(const Vector2d& direction, double far, double tolerance) const {
    double near = 0;
    while (far - near > tolerance && !stop.stop_requested()) {
      const double middle = (near + far) / 2;
      (passes(middle * direction) ? near : far) = middle;
    }
    return near;
  }
};

/// The failing spot of the best one's layer that is nearest to it, from there; no spot: nothing.
std::optional<Vector2d> nearest_failure(const SurveyGrid& grid, const std::vector<Spot>& spots, std::size_t best) {
  std::optional<Vector2d> nearest;
  const Vector2d here = xy_of(grid, spots[best].index);
  for (const Spot& spot : spots) {
    if (spot.verdict.pass || !grid.same_layer(spot.index, spots[best].index)) continue;
    const Vector2d off = xy_of(grid, spot.index) - here;
    if (!nearest || off.norm() < nearest->norm()) nearest = off;
  }
  return nearest;
}

}  // namespace

std::optional<double> most_slack_about(const SurveyGrid& grid, const std::vector<Spot>& spots, std::size_t spot) {
  const MoverGrid& mover = first_mover(grid);
  if (!mover.surveyed[0] && !mover.surveyed[1]) return std::nullopt;
  const double room = room_to_the_rim(mover, xy_of(grid, spots[spot].index));
  const auto failure = nearest_failure(grid, spots, spot);
  return failure ? std::min(room, failure->norm()) : room;
}

std::optional<double> slack_about(const SurveyGrid& grid, const std::vector<Spot>& spots, std::size_t best,
                                  const SpotJudge& judge, const SurveyRun& run) {
  const MoverGrid& mover = first_mover(grid);
  if (!mover.surveyed[0] && !mover.surveyed[1]) return std::nullopt;
  const About about{grid.placements(spots[best].index), judge, run.stop};
  const double tolerance = tolerance_of(mover);
  double radius = room_to_the_rim(mover, xy_of(grid, spots[best].index));
  if (const auto failure = nearest_failure(grid, spots, best); failure && failure->norm() <= radius)
    radius = about.last_passing(failure->normalized(), failure->norm(), tolerance);
  const auto ring = directions(mover);
  for (double before = 0; radius > 0 && radius != before && !run.stop.stop_requested();) {
    before = radius;
    std::vector<double> passing(ring.size(), radius);
    parallel_for(ring.size(), run.threads, run.stop, [&](std::size_t i) {
      if (!about.passes(before * ring[i])) passing[i] = about.last_passing(ring[i], before, tolerance);
    });
    radius = *std::min_element(passing.begin(), passing.end());
  }
  return radius;
}

}  // namespace cellproof
