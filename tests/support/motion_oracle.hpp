// SPDX-License-Identifier: GPL-3.0-or-later
// An independent answer to "how far are two moving bodies apart": frames, lines and triangles in long double, by brute
// force, from the numbers that a cell states. Slow and simple, and no formula of the product's.
#pragma once

#include <array>
#include <cmath>
#include <vector>

namespace cellproof::motion_oracle {

using Real = long double;

struct Point {
  Real x = 0, y = 0, z = 0;
};
inline Point operator+(Point a, Point b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline Point operator-(Point a, Point b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
inline Point operator*(Real s, Point a) {
  return {s * a.x, s * a.y, s * a.z};
}
inline Real dot(Point a, Point b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
inline Point cross(Point a, Point b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline Real length(Point a) {
  return std::sqrt(dot(a, a));
}

/// Where a frame stands in another: its three axes and its origin.
struct Placing {
  Point x{1, 0, 0}, y{0, 1, 0}, z{0, 0, 1}, at;
  Point operator()(Point p) const { return at + turned(p); }
  Point turned(Point p) const { return p.x * x + p.y * y + p.z * z; }
};
inline Placing operator*(const Placing& a, const Placing& b) {
  return {a.turned(b.x), a.turned(b.y), a.turned(b.z), a(b.at)};
}
inline Placing undone(const Placing& a) {
  Placing back{{a.x.x, a.y.x, a.z.x}, {a.x.y, a.y.y, a.z.y}, {a.x.z, a.y.z, a.z.z}, {}};
  back.at = Real{-1} * back.turned(a.at);
  return back;
}
inline Placing shifted(Real x, Real y, Real z) {
  Placing result;
  result.at = {x, y, z};
  return result;
}
/// By Rodrigues: about a unit axis.
inline Placing turned(Point axis, Real angle) {
  const Real c = std::cos(angle), s = std::sin(angle);
  const auto turn = [&](Point p) { return c * p + s * cross(axis, p) + (1 - c) * dot(axis, p) * axis; };
  return {turn({1, 0, 0}), turn({0, 1, 0}), turn({0, 0, 1}), {}};
}
inline constexpr Real pi = 3.14159265358979323846264338327950288L;
inline Real radians(Real degrees) {
  return degrees * pi / 180;
}
/// xyz in mm, turns in deg about fixed x, y and z in that order, as a cell file states a pose.
inline Placing stated(const std::array<double, 3>& xyz, const std::array<double, 3>& turn) {
  return shifted(xyz[0], xyz[1], xyz[2]) * turned({0, 0, 1}, radians(turn[2])) * turned({0, 1, 0}, radians(turn[1])) *
         turned({1, 0, 0}, radians(turn[0]));
}
/// A joint of the standard convention: lengths in mm, angles in deg.
inline Placing link(Real a, Real alpha, Real d, Real theta) {
  return turned({0, 0, 1}, radians(theta)) * shifted(a, 0, d) * turned({1, 0, 0}, radians(alpha));
}
/// Straight, with an even turn about one axis.
inline Placing between(const Placing& from, const Placing& to, Real share) {
  const Placing way = undone(Placing{from.x, from.y, from.z, {}}) * Placing{to.x, to.y, to.z, {}};
  const Point twice_sine{way.y.z - way.z.y, way.z.x - way.x.z, way.x.y - way.y.x};
  const Real sine = length(twice_sine);
  Placing turn;
  if (sine > 0) turn = turned((1 / sine) * twice_sine, share * std::atan2(sine, way.x.x + way.y.y + way.z.z - 1));
  Placing result = Placing{from.x, from.y, from.z, {}} * turn;
  result.at = (1 - share) * from.at + share * to.at;
  return result;
}

using Facet = std::array<Point, 3>;

inline Real to_segment(Point p, Point a, Point b) {
  const Point way = b - a;
  const Real squared = dot(way, way);
  const Real share = squared > 0 ? std::fmin(1, std::fmax(0, dot(p - a, way) / squared)) : 0;
  return length(p - (a + share * way));
}

/// Inside, its foot on the plane; outside, an edge has the nearest point.
inline Real to_facet(Point p, const Facet& f) {
  Real least = std::fmin(to_segment(p, f[0], f[1]), std::fmin(to_segment(p, f[1], f[2]), to_segment(p, f[2], f[0])));
  const Point normal = cross(f[1] - f[0], f[2] - f[0]);
  const Real size = length(normal);
  if (!(size > 0)) return least;
  bool inside = true;
  for (std::size_t i = 0; i < 3; ++i) inside = inside && dot(cross(f[(i + 1) % 3] - f[i], p - f[i]), normal) >= 0;
  return inside ? std::fmin(least, std::fabs(dot(p - f[0], normal)) / size) : least;
}

/// Of lines that are not parallel, if the feet of their common perpendicular lie within both; the ends are seen to by
/// `to_segment`.
inline Real between_insides(Point a, Point b, Point c, Point d) {
  const Point u = b - a, v = d - c, n = cross(u, v);
  const Real squared = dot(n, n);
  if (!(squared > 0)) return HUGE_VALL;
  const Real s = dot(cross(c - a, v), n) / squared, t = dot(cross(c - a, u), n) / squared;
  if (s < 0 || s > 1 || t < 0 || t > 1) return HUGE_VALL;
  return length((a + s * u) - (c + t * v));
}

/// An edge that goes through a facet, by the signs of five volumes.
inline bool goes_through(Point a, Point b, const Facet& f) {
  const auto volume = [](Point p, Point q, Point r, Point s) { return dot(cross(q - p, r - p), s - p); };
  if (volume(f[0], f[1], f[2], a) * volume(f[0], f[1], f[2], b) > 0) return false;
  const Real one = volume(a, b, f[0], f[1]), two = volume(a, b, f[1], f[2]), three = volume(a, b, f[2], f[0]);
  return (one > 0 && two > 0 && three > 0) || (one < 0 && two < 0 && three < 0);
}

inline Real distance(const Facet& f, const Facet& g) {
  Real least = HUGE_VALL;
  for (std::size_t i = 0; i < 3; ++i) {
    least = std::fmin(least, std::fmin(to_facet(f[i], g), to_facet(g[i], f)));
    if (goes_through(f[i], f[(i + 1) % 3], g) || goes_through(g[i], g[(i + 1) % 3], f)) return 0;
    for (std::size_t j = 0; j < 3; ++j)
      least = std::fmin(least, between_insides(f[i], f[(i + 1) % 3], g[j], g[(j + 1) % 3]));
  }
  return least;
}

/// How far one facet is from the plane of another, where it lies on one side of it; else 0.
inline Real apart_by_plane(const Facet& f, const Facet& g) {
  const Point normal = cross(f[1] - f[0], f[2] - f[0]);
  const Real one = dot(normal, g[0] - f[0]), two = dot(normal, g[1] - f[0]), three = dot(normal, g[2] - f[0]);
  const Real low = std::fmin(one, std::fmin(two, three)), high = std::fmax(one, std::fmax(two, three));
  if (low <= 0 && high >= 0) return 0;
  return (low > 0 ? low : -high) / length(normal);
}

/// A body's triangles, with a ball around each.
struct Ball {
  Point middle;
  Real radius = 0;
};
inline Ball ball_of(const Facet& f) {
  Ball ball{(Real{1} / 3) * (f[0] + f[1] + f[2])};
  for (const Point& corner : f) ball.radius = std::fmax(ball.radius, length(corner - ball.middle));
  return ball;
}

inline Ball ball_around(const std::vector<Facet>& facets) {
  Ball ball;
  for (const Facet& f : facets) ball.middle = ball.middle + (Real{1} / (3 * facets.size())) * (f[0] + f[1] + f[2]);
  for (const Facet& f : facets)
    for (const Point& corner : f) ball.radius = std::fmax(ball.radius, length(corner - ball.middle));
  return ball;
}

/// A distance that the surfaces have somewhere: from the corner of one that is nearest the other's middle.
inline Real between_some_corners(const std::vector<Facet>& a, const std::vector<Facet>& b, const Ball& around_b) {
  Point nearest = a[0][0];
  for (const Facet& f : a)
    for (const Point& corner : f)
      if (length(corner - around_b.middle) < length(nearest - around_b.middle)) nearest = corner;
  Real least = HUGE_VALL;
  for (const Facet& g : b) least = std::fmin(least, to_facet(nearest, g));
  return least;
}

inline std::vector<Facet> placed(const std::vector<Facet>& facets, const Placing& placing) {
  std::vector<Facet> all;
  for (const Facet& f : facets) all.push_back({placing(f[0]), placing(f[1]), placing(f[2])});
  return all;
}

/// Of surfaces; `beyond` and more need not be told apart.
inline Real distance(const std::vector<Facet>& a, const std::vector<Facet>& b, Real beyond = HUGE_VALL) {
  std::vector<Ball> balls;
  for (const Facet& g : b) balls.push_back(ball_of(g));
  const Ball around = ball_around(b);
  Real least = std::fmin(beyond, between_some_corners(a, b, around));
  for (const Facet& f : a) {
    const Ball ball = ball_of(f);
    if (length(ball.middle - around.middle) - ball.radius - around.radius >= least) continue;
    for (std::size_t j = 0; j < b.size(); ++j)
      if (length(ball.middle - balls[j].middle) - ball.radius - balls[j].radius < least &&
          apart_by_plane(f, b[j]) < least)
        least = std::fmin(least, distance(f, b[j]));
  }
  return least;
}

/// A point within a closed surface sees all of it around (A. van Oosterom, J. Strackee, 1983).
inline bool holds(const std::vector<Facet>& facets, Point p) {
  Real solid_angle = 0;
  for (const Facet& f : facets) {
    const Point a = f[0] - p, b = f[1] - p, c = f[2] - p;
    const Real la = length(a), lb = length(b), lc = length(c);
    solid_angle += 2 * std::atan2(dot(a, cross(b, c)), la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb);
  }
  return std::fabs(solid_angle) > 2 * pi;
}

/// Of solids: 0 where one lies in the other.
inline Real solid_distance(const std::vector<Facet>& a, const std::vector<Facet>& b) {
  return holds(a, b[0][0]) || holds(b, a[0][0]) ? 0 : distance(a, b);
}

}  // namespace cellproof::motion_oracle
