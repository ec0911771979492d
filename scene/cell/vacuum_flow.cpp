// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/vacuum_flow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace cellproof {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// A straight piece of the curve, less the leak: mm^3/s that draw the vacuum down.
struct Piece {
  FlowPoint from, to;
};

/// The curve from no vacuum to where the leak takes all, as pieces of what is left beside the leak. None if nothing is.
std::vector<Piece> pieces_of(const VacuumLine& line) {
  std::vector<FlowPoint> points = line.flow;
  if (points.empty()) return {};
  points.insert(points.begin(), {0, points.front().flow});
  points.push_back({points.back().vacuum, 0});
  for (FlowPoint& point : points) point.flow -= line.leak;
  std::vector<Piece> pieces;
  for (std::size_t i = 1; i < points.size() && points[i - 1].flow > 0; ++i) {
    Piece piece{points[i - 1], points[i]};
    if (piece.to.flow < 0) {
      const double share = piece.from.flow / (piece.from.flow - piece.to.flow);
      piece.to = {std::lerp(piece.from.vacuum, piece.to.vacuum, share), 0};
    }
    pieces.push_back(piece);
  }
  return pieces;
}

/// (a − b)/ln(a/b), of a ≥ b > 0: what a flow that changes evenly does in the mean. Near a = b by its series.
double log_mean(double a, double b) {
  const double apart = (a - b) / b;
  return apart < 1e-5 ? b * (1 + apart / 2 - apart * apart / 12) : (a - b) / std::log1p(apart);
}

/// mm^3 of free air over mm^3/s, integrated over the vacuum as a share of ambient.
double time_without_hose(const std::vector<Piece>& pieces, double to) {
  double sum = 0;
  for (const Piece& piece : pieces) {
    const double width = piece.to.vacuum - piece.from.vacuum;
    if (!(width > 0)) continue;
    const double end = std::min(to, piece.to.vacuum);
    const double share = (end - piece.from.vacuum) / width;
    const double left = share < 1 ? std::lerp(piece.from.flow, piece.to.flow, share) : piece.to.flow;
    if (!(left > 0)) return infinite;
    sum += (end - piece.from.vacuum) / log_mean(piece.from.flow, left);
    if (to <= piece.to.vacuum) return sum;
  }
  return infinite;
}

/// The vacuum (Pa) before the hose at a vacuum behind it, where so much free air (mm^3/s) goes through. The formula of
/// ISO 6358 solved for the pressure before it: p² − ((p_behind − b p)/(1 − b))² = q², or p = q where it is choked.
double vacuum_at_zones(const VacuumLine& line, const Conductance& through, double behind, double free_air) {
  constexpr double reference_pa = 1e5, m3_per_mm3 = 1e-9;
  const double q = free_air * m3_per_mm3 * line.ambient / (through.sonic * reference_pa);  // Pa
  const double b = through.critical_ratio, p_behind = line.ambient - behind;
  if (p_behind <= b * q) return line.ambient - q;
  const double squares = p_behind * p_behind + q * q * (1 - b) * (1 - b);
  const double root = std::sqrt(std::max(0.0, b * b * p_behind * p_behind + (1 - 2 * b) * squares));
  return line.ambient - squares / (b * p_behind + root);
}

/// As without a hose, in steps over which the flow changes by less than a two-hundredth, at the lesser flow of each.
double time_with_hose(const VacuumLine& line, const std::vector<Piece>& pieces, double to) {
  constexpr double step = 0.005, least_share = 1e-9;
  const Conductance through = conductance(*line.hose);
  double sum = 0, here = 0;
  for (const Piece& piece : pieces) {
    const double first = piece.from.flow, last = std::max(piece.to.flow, least_share * first);
    const int steps = std::max(1, static_cast<int>(std::ceil(std::log(first / last) / step)));
    for (int i = 1; i <= steps; ++i) {
      const double left = i < steps ? first * std::pow(last / first, static_cast<double>(i) / steps) : last;
      const double share = first > piece.to.flow ? (first - left) / (first - piece.to.flow) : 1;
      const double behind = std::lerp(piece.from.vacuum, piece.to.vacuum, std::min(share, 1.0));
      const double at_zones = std::min(to, vacuum_at_zones(line, through, behind, left + line.leak));
      if (!(at_zones > here)) continue;
      sum += (at_zones - here) / left;
      here = at_zones;
      if (here >= to) return sum;
    }
  }
  return infinite;
}

}  // namespace

double hose_volume(const Hose& hose) {
  return std::numbers::pi / 4 * hose.bore * hose.bore * hose.length;
}

Conductance conductance(const Hose& hose) {
  const double length = hose.length / 1000, bore = hose.bore / 1000;
  const double sonic = 0.029 * bore * bore / std::sqrt(length / std::pow(bore, 1.25) + 510);
  return {sonic, 474 * sonic / (bore * bore)};
}

double vacuum_reached(const VacuumLine& line) {
  const auto pieces = pieces_of(line);
  if (pieces.empty()) return 0;
  const double at_source = pieces.back().to.vacuum;
  if (!line.hose) return at_source;
  return std::max(0.0, vacuum_at_zones(line, conductance(*line.hose), at_source, line.leak));
}

double evacuation_time(const VacuumLine& line, double volume_mm3, double to) {
  if (!(to > 0)) return 0;
  const auto pieces = pieces_of(line);
  return volume_mm3 / line.ambient * (line.hose ? time_with_hose(line, pieces, to) : time_without_hose(pieces, to));
}

double decay_time(const VacuumLine& line, double volume_mm3, double from, double to) {
  if (!(from > to)) return 0;
  if (!(line.leak > 0)) return infinite;
  return volume_mm3 * (from - to) / (line.ambient * line.leak);
}

}  // namespace cellproof
