// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/gap_plot.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::passing_proof;
using test::swing_s;

namespace {

using Square = std::array<Eigen::Vector2d, 4>;

/// In world's xy plane, turned about its middle.
Square square(const Eigen::Vector2d& middle, double half, double turn) {
  const Eigen::Rotation2Dd turned(turn);
  Square corners;
  for (std::size_t i = 0; i < 4; ++i)
    corners[i] = middle + turned * Eigen::Vector2d(i == 0 || i == 3 ? half : -half, i < 2 ? half : -half);
  return corners;
}

/// Corners go counter-clockwise, as square() gives them.
bool is_inside(const Eigen::Vector2d& point, const Square& area) {
  for (std::size_t i = 0; i < 4; ++i) {
    const Eigen::Vector2d side = area[(i + 1) % 4] - area[i], to = point - area[i];
    if (side.x() * to.y() - side.y() * to.x() < 0) return false;
  }
  return true;
}

double distance_to_side(const Eigen::Vector2d& point, const Eigen::Vector2d& from, const Eigen::Vector2d& to) {
  const Eigen::Vector2d side = to - from;
  const double along = std::clamp((point - from).dot(side) / side.squaredNorm(), 0.0, 1.0);
  return (point - from - along * side).norm();
}

/// 0 where they overlap. (Where two of these squares do, a corner of one is in the other.)
double distance_between(const Square& a, const Square& b) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < 4; ++i) {
    if (is_inside(a[i], b) || is_inside(b[i], a)) return 0;
    for (std::size_t k = 0; k < 4; ++k)
      least =
          std::min({least, distance_to_side(a[i], b[k], b[(k + 1) % 4]), distance_to_side(b[i], a[k], a[(k + 1) % 4])});
  }
  return least;
}

/// How far the block is from post and table (derived from passing_hand.hpp: a level block at z 1030 or above turns
/// about world's z, 790 away from it; the post's top is at 1027, the table's at 887).
double true_gap(double angle) {
  const Square block = square(790 * Eigen::Vector2d(std::cos(angle), std::sin(angle)), 10, angle);
  const Eigen::Vector2d middle(763.1, 204.5);
  return std::min(std::hypot(1030 - 1027, distance_between(block, square(middle, 20, 0))),
                  std::hypot(1030 - 887, distance_between(block, square(middle, 200, 0))));
}

/// The first joint's angle, seconds after the long wait: there and back, each a triangle of speed at 600 deg/s².
double swing_angle(double s) {
  const double pace = 600 * std::acos(-1.0) / 180, whole = 30 * std::acos(-1.0) / 180;
  const auto swung = [&](double t) {
    t = std::clamp(t, 0.0, swing_s);
    return t < swing_s / 2 ? pace * t * t / 2 : whole - pace * (swing_s - t) * (swing_s - t) / 2;
  };
  return s < swing_s ? swung(s) : whole - swung(s - swing_s);
}

}  // namespace

TEST_CASE("The plot's least clearance is the one that the finding tells, below the rule's line") {
  // The block hangs 3 mm over the post (derived, see passing_hand.hpp); the default rule is 5 mm.
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  CHECK(plot.rule_mm == 5);
  REQUIRE(plot.least_mm);
  CHECK(*plot.least_mm <= 3 + 1e-6);
  CHECK(*plot.least_mm > 2);
  CHECK(plot.spans.front().from == 0);
  CHECK(plot.spans.back().to == Approx(1));
  const auto over_post = gap_at(plot, (longest_still_s + swing_s / 2) / timeline.axis.length());
  REQUIRE(over_post);
  CHECK(*over_post <= 3);
  CHECK_FALSE(gap_at(plot, 2));
}

TEST_CASE("Spans of the plot follow each other without a hole") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  for (std::size_t i = 1; i < plot.spans.size(); ++i) CHECK(plot.spans[i].from == Approx(plot.spans[i - 1].to));
}

TEST_CASE("Each span of the plot encloses the least gap that the block has over post and table meanwhile") {
  const Timeline timeline = timeline_of(passing_proof(), 0);
  const GapPlot plot = gap_plot(passing_proof(), timeline);
  CHECK(plot.spans.size() > 10);
  int near = 0;
  for (const GapSpan& span : plot.spans) {
    const double from_s = span.from * timeline.axis.length() - longest_still_s,
                 to_s = span.to * timeline.axis.length() - longest_still_s;
    double least = std::numeric_limits<double>::infinity(), most = 0;
    for (int i = 0; i <= 200; ++i) {
      const double at_s = std::clamp(from_s + i / 200.0 * (to_s - from_s), 0.0, 2 * swing_s);
      const double gap = true_gap(swing_angle(at_s));
      least = std::min(least, gap);
      most = std::max(most, gap);
    }
    CAPTURE(from_s, to_s, least, most, span.lower_mm, span.upper_mm);
    CHECK(span.lower_mm <= least + 1e-6);
    CHECK(span.upper_mm >= least - 0.1);  // between the instants looked at
    CHECK(span.upper_mm <= most + 0.1);
    CHECK(span.lower_mm <= span.upper_mm);
    if (least > 20) continue;
    ++near;
    CHECK(span.lower_mm >= 0.9 * least - 0.1);
  }
  CHECK(near >= 4);
}
