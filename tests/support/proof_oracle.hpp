// SPDX-License-Identifier: GPL-3.0-or-later
// Where a proof's bodies truly are, and how far apart: from the arm's table, the joint values and what hangs where.
#pragma once

#include <algorithm>

#include "checks/prove.hpp"
#include "tests/support/motion_oracle.hpp"

namespace cellproof::test {

/// One stretch of a proof; shares are of its path.
class StretchOracle {
 public:
  StretchOracle(const Scene& scene, const Stretch& stretch) : scene_(scene), stretch_(stretch) {
    for (const SceneBody& body : scene.bodies) {
      auto& facets = facets_.emplace_back();
      const auto corner = [&](std::uint32_t i) { return point(body.solid->mesh().vertices[i]); };
      for (const auto& [i, j, k] : body.solid->mesh().triangles) facets.push_back({corner(i), corner(j), corner(k)});
    }
  }

  /// Surfaces; `beyond` and more need not be told apart.
  double distance(BodyId a, BodyId b, double share, double beyond = HUGE_VAL) const {
    const auto placings = link_placings(share);
    return static_cast<double>(motion_oracle::distance(body(a, share, placings), body(b, share, placings), beyond));
  }
  /// Solids: 0 where one lies in the other.
  double solid_distance(BodyId a, BodyId b, double share) const {
    const auto placings = link_placings(share);
    return static_cast<double>(motion_oracle::solid_distance(body(a, share, placings), body(b, share, placings)));
  }
  /// The least of so many samples over a span, looked for more closely about the least, down to steps of `fine`: no
  /// less than the truth.
  double least(BodyId a, BodyId b, const Span& span, int samples, double fine) const {
    const auto at = [&](int i) { return span.from + (span.to - span.from) * i / (samples - 1); };
    double best = HUGE_VAL, place = span.from;
    const auto look = [&](double share) {
      const double here = distance(a, b, share, best);
      if (here < best) place = share;
      best = std::min(best, here);
    };
    for (int i = 0; i < samples; ++i) look(at(i));
    for (double step = (span.to - span.from) / (samples - 1) / 2; step > fine; step /= 3)
      for (const double share : {place - step, place + step}) look(std::clamp(share, span.from, span.to));
    return best;
  }

 private:
  using Placing = motion_oracle::Placing;
  static motion_oracle::Point point(const Vector3d& p) { return {p.x(), p.y(), p.z()}; }
  static Placing placing(const Pose& pose) {
    return {point(pose.linear().col(0)), point(pose.linear().col(1)), point(pose.linear().col(2)),
            point(pose.translation())};
  }

  /// A joint move is straight in joint space; on a line the ideal motion's joint values are taken.
  std::array<long double, 6> joints(double share) const {
    const Path& path = stretch_.motion.path;
    std::array<long double, 6> values{};
    const Joints ideal = path.is_linear() ? path.at(scene_.cell.arm.arm, share).values : path.start();
    for (std::size_t i = 0; i < 6; ++i) {
      const auto k = static_cast<int>(i);
      values[i] = path.is_linear() ? static_cast<long double>(ideal[k])
                                   : (1 - static_cast<long double>(share)) * path.start()[k] +
                                         static_cast<long double>(share) * path.end()[k];
    }
    return values;
  }

  /// Links 1 … 6 in base.
  std::array<Placing, 7> link_placings(double share) const {
    const Arm& arm = scene_.cell.arm.arm;
    const auto values = joints(share);
    std::array<Placing, 7> all;
    for (std::size_t i = 0; i < 6; ++i) {
      long double angle = arm.rows[i].theta;
      for (std::size_t j = 0; j < 6; ++j)
        angle += arm.dh_from_values(static_cast<int>(i), static_cast<int>(j)) * values[j];
      const Placing turn = motion_oracle::turned({0, 0, 1}, angle), along = motion_oracle::shifted(0, 0, arm.rows[i].d),
                    out = motion_oracle::shifted(arm.rows[i].a, 0, 0),
                    tilt = motion_oracle::turned({1, 0, 0}, arm.rows[i].alpha);
      all[i + 1] =
          all[i] * (arm.convention == DhConvention::standard ? turn * along * out * tilt : tilt * out * turn * along);
    }
    return all;
  }

  Placing frame(FrameId here, double share, const std::array<Placing, 7>& links) const {
    if (here <= world_frame) return {};
    const std::size_t link = scene_.frames[here].link.value_or(0);
    const Placing above = frame(stretch_.arrangement->parent[here], share, links);
    if (link > 0) return above * links[link];
    for (const Shifting& shift : stretch_.shifts)
      if (shift.frame == here) return above * motion_oracle::between(placing(shift.from), placing(shift.to), share);
    return above * placing(stretch_.arrangement->in_parent[here]);
  }

  std::vector<motion_oracle::Facet> body(BodyId here, double share, const std::array<Placing, 7>& links) const {
    return motion_oracle::placed(facets_[here], frame(scene_.bodies[here].frame, share, links));
  }

  const Scene& scene_;
  const Stretch& stretch_;
  Table<BodyId, std::vector<motion_oracle::Facet>> facets_;
};

}  // namespace cellproof::test
