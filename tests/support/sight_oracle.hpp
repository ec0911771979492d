// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees of a target behind wires, slats and perforated plates, by another way than the program's: shadows
// as convex outlines in long double, areas by rows between all their corners, the picture's edge by a dense count.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "scene/with_mesh.hpp"
#include "tests/support/lookout.hpp"

namespace cellproof::test {

using Real = long double;
struct Flat {
  Real x, y;
};
using Outline = std::vector<Flat>;
struct Span1 {
  Real from, to;
};

/// Blockers as meshes in the camera's frame, and the same as convex sets of corners.
struct Blockers {
  Mesh mesh;                                              ///< all in one
  std::vector<std::vector<Vector3d>> solids;              ///< each covers the outline of its corners' shadows …
  std::vector<std::vector<std::vector<Vector3d>>> holes;  ///< … but where all outlines of one of these overlap
};

struct SightCase {
  std::string name;
  Camera camera;
  Target target;
  Blockers blockers;
};

/// Andrew's outline.
inline Outline outline_of(std::vector<Flat> points) {
  std::sort(points.begin(), points.end(),
            [](const Flat& a, const Flat& b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  Outline hull;
  for (int side = 0; side < 2; ++side) {
    const std::size_t base = hull.size();
    for (const Flat& p : points) {
      while (hull.size() >= base + 2) {
        const Flat &a = hull[hull.size() - 2], &b = hull.back();
        if ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0) break;
        hull.pop_back();
      }
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

/// The shadow of a point of the camera's frame on the target's plane, in shares of its sides.
inline Flat shadow_of(const Target& target, const Vector3d& point) {
  const Pose& pose = target.placed.at;
  std::array<Real, 3> eye{}, p{};
  for (int i = 0; i < 3; ++i)
    for (int k = 0; k < 3; ++k) {
      const Real turn = pose.linear()(k, i), off = pose.translation()[k];
      eye[static_cast<std::size_t>(i)] += turn * (0 - off);
      p[static_cast<std::size_t>(i)] += turn * (static_cast<Real>(point[k]) - off);
    }
  const Real rate = eye[2] / (eye[2] - p[2]);
  return {(eye[0] + rate * (p[0] - eye[0])) / target.size[0], (eye[1] + rate * (p[1] - eye[1])) / target.size[1]};
}

inline Outline shadow_outline(const Target& target, const std::vector<Vector3d>& corners) {
  std::vector<Flat> flat;
  for (const Vector3d& corner : corners) flat.push_back(shadow_of(target, corner));
  return outline_of(flat);
}

/// Where an outline lies over the row at y.
inline Span1 over_row(const Outline& outline, Real y) {
  Span1 span{1e30L, -1e30L};
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Flat &a = outline[i], &b = outline[(i + 1) % outline.size()];
    if ((a.y > y) == (b.y > y)) continue;
    const Real x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
    span = {std::min(span.from, x), std::max(span.to, x)};
  }
  return span;
}

/// Brown and Conrady's formula, written out anew; true if the pixel lies in the picture.
inline bool oracle_in_picture(const Camera& camera, const Target& target, Real u, Real v) {
  const Vector3d place =
      target.placed.at * Vector3d(static_cast<double>(u) * target.size[0], static_cast<double>(v) * target.size[1], 0);
  if (place.z() <= 0) return false;
  const double x = place.x() / place.z(), y = place.y() / place.z(), r = x * x + y * y;
  const auto& d = camera.distortion;
  const double f = 1 + d[0] * r + d[1] * r * r + d[4] * r * r * r;
  const double px = camera.fx * (x * f + 2 * d[2] * x * y + d[3] * (r + 2 * x * x)) + camera.cx;
  const double py = camera.fy * (y * f + d[2] * (r + 2 * y * y) + 2 * d[3] * x * y) + camera.cy;
  return px >= -0.5 && py >= -0.5 && px <= camera.width - 0.5 && py <= camera.height - 0.5;
}

/// The parts of a row that are in the picture: a count of `places`, its changes halved down.
inline std::vector<Span1> row_in_picture(const SightCase& one, Real v, int places) {
  const auto in = [&](Real u) { return oracle_in_picture(one.camera, one.target, u, v); };
  std::vector<Span1> spans;
  bool last = false;
  Real last_u = -0.5L;
  for (int i = 0; i <= places; ++i) {
    const Real u = -0.5L + static_cast<Real>(i) / places;
    const bool now = in(u);
    Real change = u;
    if (i > 0 && now != last) {
      Real a = last_u, b = u;
      for (int round = 0; round < 40; ++round) (in((a + b) / 2) == last ? a : b) = (a + b) / 2;
      change = b;
    }
    if (now && !last) spans.push_back({change, 0.5L});
    if (!now && last) spans.back().to = change;
    last = now;
    last_u = u;
  }
  return spans;
}

struct Shares {
  double in_frame = 0, visible = 0;
};

/// `rows` at least, and one between each two heights at which a shadow has a corner or passes the target's sides.
inline Shares shares_by_rows(const SightCase& one, int rows, int places) {
  std::vector<Outline> solids;
  std::vector<std::vector<Outline>> holes;
  std::vector<Real> ys;
  const auto add = [&](const std::vector<Vector3d>& corners) {
    Outline outline = shadow_outline(one.target, corners);
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Flat &a = outline[i], &b = outline[(i + 1) % outline.size()];
      ys.push_back(a.y);
      for (const Real side : {-0.5L, 0.5L})  // where it enters the target from beside
        if ((a.x > side) != (b.x > side)) ys.push_back(a.y + (b.y - a.y) * (side - a.x) / (b.x - a.x));
    }
    return outline;
  };
  for (const auto& corners : one.blockers.solids) solids.push_back(add(corners));
  for (const auto& hole : one.blockers.holes) {
    holes.emplace_back();
    for (const auto& corners : hole) holes.back().push_back(add(corners));
  }
  for (int i = 0; i <= rows; ++i) ys.push_back(-0.5L + static_cast<Real>(i) / rows);
  std::erase_if(ys, [](Real y) { return y < -0.5L || y > 0.5L; });
  std::sort(ys.begin(), ys.end());
  Real in_frame = 0, visible = 0;
  for (std::size_t i = 0; i + 1 < ys.size(); ++i) {
    const Real height = ys[i + 1] - ys[i], y = (ys[i] + ys[i + 1]) / 2;
    if (height <= 0) continue;
    std::vector<Span1> open;  // what the holes leave free, sorted
    for (const auto& hole : holes) {
      Span1 all{-1e30L, 1e30L};
      for (const Outline& outline : hole) {
        const Span1 span = over_row(outline, y);
        all = {std::max(all.from, span.from), std::min(all.to, span.to)};
      }
      if (all.from < all.to) open.push_back(all);
    }
    std::sort(open.begin(), open.end(), [](const Span1& a, const Span1& b) { return a.from < b.from; });
    std::vector<Span1> covered;
    for (std::size_t k = 0; k < solids.size(); ++k) {
      Span1 span = over_row(solids[k], y);
      if (!(span.from < span.to)) continue;
      if (k == 0)  // the holes are the first solid's
        for (const Span1& gap : open) {
          if (gap.to <= span.from || gap.from >= span.to) continue;
          if (gap.from > span.from) covered.push_back({span.from, gap.from});
          span.from = gap.to;
        }
      if (span.from < span.to) covered.push_back(span);
    }
    std::sort(covered.begin(), covered.end(), [](const Span1& a, const Span1& b) { return a.from < b.from; });
    for (const Span1& frame : row_in_picture(one, y, places)) {
      in_frame += height * (frame.to - frame.from);
      Real reached = frame.from, free = 0;
      for (const Span1& span : covered) {
        if (span.from > reached) free += std::max(0.0L, std::min(span.from, frame.to) - reached);
        reached = std::max(reached, span.to);
      }
      free += std::max(0.0L, frame.to - reached);
      visible += height * free;
    }
  }
  return {static_cast<double>(in_frame), static_cast<double>(visible)};
}

/// Adds a convex prism between two outlines of as many corners.
inline std::vector<Vector3d> add_prism(Mesh& mesh, const std::vector<Vector3d>& top,
                                       const std::vector<Vector3d>& bottom) {
  const auto base = static_cast<std::uint32_t>(mesh.vertices.size()), n = static_cast<std::uint32_t>(top.size());
  std::vector<Vector3d> corners = top;
  corners.insert(corners.end(), bottom.begin(), bottom.end());
  mesh.vertices.insert(mesh.vertices.end(), corners.begin(), corners.end());
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t j = (i + 1) % n;
    mesh.triangles.push_back({base + i, base + j, base + n + j});
    mesh.triangles.push_back({base + i, base + n + j, base + n + i});
    if (i == 0 || j == 0) continue;
    mesh.triangles.push_back({base, base + j, base + i});
    mesh.triangles.push_back({base + n, base + n + i, base + n + j});
  }
  return corners;
}

/// A straight bar of a × b about the middle, along a direction, all in `pose`; its faces outward.
inline void add_bar(Blockers& blockers, const Pose& pose, const Vector2d& middle, double angle, double length, double a,
                    double b) {
  const Pose own = pose * Eigen::Translation3d(middle.x(), middle.y(), 0) * Eigen::AngleAxisd(angle, Vector3d::UnitZ());
  std::vector<Vector3d> top, bottom;
  for (const auto& [x, y] : {std::pair(-0.5, -0.5), std::pair(0.5, -0.5), std::pair(0.5, 0.5), std::pair(-0.5, 0.5)}) {
    top.push_back(own * Vector3d(x * length, y * a, -b / 2));
    bottom.push_back(own * Vector3d(x * length, y * a, b / 2));
  }
  blockers.solids.push_back(add_prism(blockers.mesh, top, bottom));
}

/// A plate of columns × rows holes, `side` apart, each an octagon of that radius; thick plates have walls in the holes.
inline void add_perforated(Blockers& blockers, const Pose& pose, int columns, int rows, double side, double radius,
                           double thickness, double turn) {
  const double width = columns * side, height = rows * side;
  constexpr std::uint32_t n = 8;
  std::vector<Vector3d> outside;
  Mesh& mesh = blockers.mesh;
  const int faces = thickness > 0 ? 2 : 1;
  for (int face = 0; face < faces; ++face)
    for (const auto& [x, y] : {std::pair(-0.5, -0.5), std::pair(0.5, -0.5), std::pair(0.5, 0.5), std::pair(-0.5, 0.5)})
      outside.push_back(pose * Vector3d(x * width, y * height, face * thickness));
  blockers.solids.insert(blockers.solids.begin(), outside);
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const double cx = (column + 0.5) * side - width / 2, cy = (row + 0.5) * side - height / 2;
      std::vector<std::vector<Vector3d>> hole;
      std::array<std::uint32_t, 2> first{};
      for (int face = 0; face < faces; ++face) {
        const double z = face * thickness;
        first[static_cast<std::size_t>(face)] = static_cast<std::uint32_t>(mesh.vertices.size());
        hole.emplace_back();
        for (std::uint32_t k = 0; k < n; ++k) {
          const double angle = turn + 2 * pi * k / n;
          hole.back().push_back(pose * Vector3d(cx + radius * std::cos(angle), cy + radius * std::sin(angle), z));
        }
        mesh.vertices.insert(mesh.vertices.end(), hole.back().begin(), hole.back().end());
        const std::uint32_t c = static_cast<std::uint32_t>(mesh.vertices.size()),
                            h = first[static_cast<std::size_t>(face)];
        for (const auto& [x, y] :
             {std::pair(0.5, 0.5), std::pair(-0.5, 0.5), std::pair(-0.5, -0.5), std::pair(0.5, -0.5)})
          mesh.vertices.push_back(pose * Vector3d(cx + x * side, cy + y * side, z));
        for (std::uint32_t q = 0; q < 4; ++q) {
          for (const std::uint32_t k : {2 * q, 2 * q + 1}) mesh.triangles.push_back({h + k, h + (k + 1) % n, c + q});
          mesh.triangles.push_back({h + (2 * q + 2) % n, c + (q + 1) % 4, c + q});
        }
      }
      for (std::uint32_t k = 0; faces == 2 && k < n; ++k) {
        const std::uint32_t j = (k + 1) % n;
        mesh.triangles.push_back({first[0] + k, first[0] + j, first[1] + j});
        mesh.triangles.push_back({first[0] + k, first[1] + j, first[1] + k});
      }
      blockers.holes.push_back(hole);
    }
  for (std::uint32_t k = 0; faces == 2 && k < 4; ++k) {  // the plate's own edge
    const auto base = static_cast<std::uint32_t>(mesh.vertices.size());
    for (const std::size_t i : {k, (k + 1) % 4, 4 + (k + 1) % 4, 4 + k}) mesh.vertices.push_back(outside[i]);
    mesh.triangles.push_back({base, base + 1, base + 2});
    mesh.triangles.push_back({base, base + 2, base + 3});
  }
}

/// The scene of a case: the meshes' frame is the camera's and the world's.
inline Look look_at(const SightCase& one) {
  Look look(lookout(one.camera, {one.target}, {body("blockers", BoxShape{{1, 1, 1}}, Pose::Identity())}));
  if (!one.blockers.mesh.triangles.empty())
    look.scene = with_mesh(std::move(look.scene), BodyId(0), one.blockers.mesh);
  else
    look.request.arrangement.present.at(0) = 0;
  return look;
}

/// True if everything stands between the eye and the target with room to spare: else outlines are no shadows.
inline bool stands_between(const SightCase& one) {
  const Pose inverse = one.target.placed.at.inverse();
  const double eye = inverse.translation().z();
  return std::ranges::all_of(one.blockers.mesh.vertices, [&](const Vector3d& point) {
    const double share = 1 - (inverse * point).z() / eye;
    return point.z() > 0.5 && share > 0.005 && share < 0.995;
  });
}

constexpr int families = 14;

/// A scene of a family: gratings parallel, crossed, tilted, thinner than a pixel, in step with a lattice; fans, holes,
/// slots; near the lens, near the target, partly out of frame, distorted, all but edge on, tiny and huge.
inline SightCase sight_case(int number) {
  std::mt19937_64 random(static_cast<std::uint64_t>(number) + 4711);
  const auto uniform = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const int family = number % families;
  for (;;) {
    SightCase one;
    one.name = "family " + std::to_string(family) + ", case " + std::to_string(number);
    one.camera = camera_60_degrees();
    double size = 60, distance = 400, tilt = uniform(-0.3, 0.3);
    if (family == 8) size = uniform(0.5, 3);
    if (family == 9) size = 400, distance = 450;
    if (family == 10) tilt = pi / 2 - uniform(0.01, 0.12);
    if (family == 11 || family == 12)
      one.camera.distortion = {uniform(-0.25, 0.1), uniform(-0.02, 0.05), 0.001, -0.0015, 0};
    const double aside =
        family == 12 || family == 13 ? distance * std::tan(radians(30)) + uniform(-20, 20) : uniform(-20, 20);
    one.target = facing_target({aside, uniform(-15, 15), distance}, size, size * uniform(0.6, 1.4));
    one.target.placed.at = one.target.placed.at * Eigen::AngleAxisd(uniform(-0.4, 0.4), Vector3d::UnitZ()) *
                           Eigen::AngleAxisd(tilt, random() % 2 ? Vector3d::UnitX() : Vector3d::UnitY());
    if (number % 3 == 0 && family < 6)
      one.target.placed.at = facing_target({aside, 0, distance}, size, size).placed.at;  // straight, in step
    const double depth = family == 6 ? uniform(3, 12) : family == 7 ? uniform(375, 396) : uniform(120, 330);
    const double share = depth / distance;  // a length there over its shadow
    const Vector3d centre = one.target.placed.at.translation() * share;
    const Pose pose = at(centre.x(), centre.y(), depth) *
                      Eigen::AngleAxisd(number % 2 ? 0 : uniform(-0.2, 0.2), Vector3d::UnitY()) *
                      Eigen::AngleAxisd(number % 3 == 0 ? 0 : uniform(-pi, pi), Vector3d::UnitZ());
    const double reach = 1.7 * size * share;  // more than the shadow of the whole target
    const auto grating = [&](const Pose& where, double period, double width, double thick, double angle) {
      const int count = static_cast<int>(std::ceil(reach / period));
      const double shift = uniform(-0.5, 0.5) * period;
      for (int i = -count / 2; i <= count / 2; ++i) {
        const Vector2d middle = Vector2d(-std::sin(angle), std::cos(angle)) * (i * period + shift);
        add_bar(one.blockers, where, middle, angle, 2 * reach, width, thick);
      }
    };
    const double period = share * size * uniform(0.012, 0.05), width = period * uniform(0.01, 0.6);
    switch (family) {
      case 0:
        grating(pose, share * size / 60, 0.05 * share * size / 60, 0.05 * share, 0);
        break;
      case 1:
        grating(pose, share * size / (number % 4 < 2 ? 83 : 55.33), width / 2, width / 2, 0);
        break;  // 166 pixels
      case 2:
        grating(pose, period, width, width, uniform(-0.01, 0.01));
        grating(pose, period * uniform(0.7, 1.4), width, width, pi / 2 + uniform(-0.01, 0.01));
        break;
      case 3:
        grating(pose, period, width, width, uniform(-pi, pi));
        break;
      case 4:
        for (int i = 0; i < 40; ++i)
          add_bar(one.blockers, pose, Vector2d(-0.4 * reach, 0.1 * reach), uniform(-1.2, 1.2), 3 * reach, width / 3,
                  width / 3);
        break;
      case 5: {
        const double radius = uniform(0.1, 0.45),
                     turn = uniform(0, 0.15);  // turned further, fans would cross the holes
        add_perforated(one.blockers, pose, 24, 24, reach / 20, reach / 20 * radius, number % 4 < 2 ? 0 : reach * 0.01,
                       turn);
        break;
      }
      case 8:
        add_bar(one.blockers, pose, Vector2d::Zero(), uniform(0, pi), 3 * reach, width, width);
        [[fallthrough]];
      case 9:
        grating(pose, 2 * period, width, 2 * width, uniform(0, pi));
        break;
      case 10:
        grating(pose, period, width, width, uniform(0, pi));
        break;
      case 11:  // a hair-thin slot between two plates, and a single wire
        add_bar(one.blockers, pose, Vector2d(0, 0.5 * reach + 0.002 * share * size * uniform(0.1, 1)), 0, 2 * reach,
                reach, 0.5);
        add_bar(one.blockers, pose, Vector2d(0, -0.5 * reach), 0, 2 * reach, reach, 0.5);
        add_bar(one.blockers, at(centre.x(), centre.y(), depth - 20), Vector2d::Zero(), uniform(0, pi), 3 * reach,
                width, width);
        break;
      default:
        grating(pose, period, width, width, uniform(0, pi));
        break;
    }
    if (stands_between(one)) return one;
  }
}

}  // namespace cellproof::test
