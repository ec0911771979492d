// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/milling_forces.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <type_traits>
#include <utility>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

namespace {

using Sideways = std::complex<double>;  ///< a tooth's force in the plane, but for scale and a turn
using Along = double;                   ///< its force along the path, but for scale

constexpr double straight_below =
    1e-3;  // of the way through the part: without its lag an edge pushes as hard or harder
constexpr double peak_within = 1e-3;
constexpr double of_quadrature = 1e-4;
constexpr int first_pieces = 8;
constexpr std::size_t most_looks = 100'000;

/// Gauss and Legendre's 16 points and weights on (-1, 1), by Newton's method on the polynomial.
struct Gauss {
  static constexpr int count = 16;
  std::array<double, count> at, weight;

  Gauss() {
    for (int i = 0; i < count; ++i) {
      double x = std::cos(pi * (i + 0.75) / (count + 0.5)), slope = 0;
      for (int turn = 0; turn < 20; ++turn) {
        double value = x, before = 1;
        for (int n = 2; n <= count; ++n)
          before = std::exchange(value, ((2 * n - 1) * x * value - (n - 1) * before) / n);
        slope = count * (x * value - before) / (x * x - 1);
        x -= value / slope;
      }
      at[static_cast<unsigned>(i)] = x;
      weight[static_cast<unsigned>(i)] = 2 / ((1 - x * x) * slope * slope);
    }
  }
};

template <class Value, class Function>
Value integral(double from, double to, const Function& function) {
  static const Gauss gauss;
  const double middle = (from + to) / 2, half = (to - from) / 2;
  Value sum = 0;
  for (std::size_t i = 0; i < gauss.at.size(); ++i) sum += gauss.weight[i] * function(middle + half * gauss.at[i]);
  return half * sum;
}

/// A cutter as angles. The first tooth's lower end stands at `turned`, the others a pitch apart.
class Teeth {
 public:
  explicit Teeth(const Cutter& cutter)
      : count_(cutter.teeth),
        depth_(cutter.depth),
        power_(1 - cutter.mc),
        lag_per_mm_(std::tan(std::abs(cutter.helix)) / (cutter.diameter / 2)),
        in_(engagement(cutter)) {
    const double lag = lag_per_mm_ * depth_;
    straight_ = lag < straight_below * (in_.to - in_.from);
    whole_turns_ = straight_ ? 0 : std::floor(lag / (2 * pi));
    lag_ = straight_ ? 0 : lag - whole_turns_ * 2 * pi;
  }

  double pitch() const { return 2 * pi / count_; }

  /// Angles in a pitch, both its ends among them, at which an end of an edge enters or leaves the part.
  std::vector<double> breaks() const {
    std::vector<double> breaks{0, pitch()};
    for (const double end : {in_.from, in_.to})
      for (const double lag : {0.0, lag_}) breaks.push_back(std::fmod(end + lag, pitch()));
    std::ranges::sort(breaks);
    return breaks;
  }

  /// All teeth together, mm of depth times a tooth's force. `within`: an angle of the same piece between breaks.
  template <class Value>
  Value at(double turned, double within) const {
    Value sum = 0;
    for (int tooth = 0; tooth < count_; ++tooth) {
      const double here = standing(within, tooth), end = here + (turned - within);
      if (straight_)
        sum += is_in(here) ? depth_ * force<Value>(std::clamp(end, in_.from, in_.to)) : Value(0);
      else
        for (const double before : {0.0, 2 * pi}) sum += window<Value>(end - lag_ + before, end + before);
    }
    return sum + whole<Value>();
  }

  /// How far the sum may be from the straight line between its values at the piece's ends. Of a function whose slope
  /// differs by d at the most it is a quarter of the length times d; of one that differs by d itself, d.
  template <class Value>
  double bend(double from, double to) const {
    double sum = 0;
    const double length = to - from, middle = (from + to) / 2;
    for (int tooth = 0; tooth < count_; ++tooth) {
      const double end = standing(middle, tooth), start = end - lag_;
      const double lower = end - length / 2;
      if (straight_) {
        if (is_in(end)) sum += depth_ * spread<Value>(lower, lower + length);
        continue;
      }
      double slopes = 0;
      if (is_in(end)) slopes += spread<Value>(lower, lower + length);
      if (is_in(start)) slopes += spread<Value>(lower - lag_, lower - lag_ + length);
      double mine = length / 4 * slopes / lag_per_mm_;
      if (is_in(end) && is_in(start) && end - lag_ >= in_.from)
        mine = std::min(mine, lag_ / lag_per_mm_ * spread<Value>(lower - lag_, lower + length));
      sum += mine;
    }
    return sum;
  }

  /// Mean over a turn of the teeth's force along their paths, mm of depth times a tooth's.
  double mean_along() const {
    return depth_ / pitch() * integral<Along>(in_.from, in_.to, [&](double angle) { return force<Along>(angle); });
  }

 private:
  double standing(double turned, int tooth) const { return std::fmod(turned + tooth * pitch(), 2 * pi); }

  bool is_in(double angle) const {
    const double turned = angle < 0 ? angle + 2 * pi : angle;
    return turned > in_.from && turned < in_.to;
  }

  double thick(double angle) const { return std::pow(std::max(0.0, std::sin(angle)), power_); }

  template <class Value>
  Value force(double angle) const {
    if constexpr (std::is_same_v<Value, Along>)
      return thick(angle);
    else
      return std::polar(thick(angle), angle);
  }

  template <class Value>
  Value window(double from, double to) const {
    const double first = std::max(from, in_.from), last = std::min(to, in_.to);
    if (!(first < last)) return 0;
    return integral<Value>(first, last, [&](double angle) { return force<Value>(angle); }) / lag_per_mm_;
  }

  template <class Value>
  Value whole() const {
    if (!(whole_turns_ > 0)) return 0;
    return count_ * whole_turns_ * window<Value>(in_.from, in_.to);
  }

  /// How much a tooth's force may differ between two angles of a range in the part.
  template <class Value>
  double spread(double from, double to) const {
    if (to < 0) {
      from += 2 * pi;
      to += 2 * pi;
    }
    const double first = std::clamp(from, in_.from, in_.to), last = std::clamp(to, in_.from, in_.to);
    const double one = thick(first), other = thick(last);
    const double most = first < pi / 2 && last > pi / 2 ? 1 : std::max(one, other);
    const double thicker = most - std::min(one, other);
    return std::is_same_v<Value, Along> ? thicker : thicker + (last - first) * most;
  }

  int count_;
  double depth_, power_, lag_per_mm_;
  Engagement in_;
  bool straight_ = true;
  double whole_turns_ = 0, lag_ = 0;
};

/// No less than the greatest size over a turn.
template <class Value>
double peak_of(const Teeth& teeth) {
  struct Piece {
    double from, to, at_from, at_to;
  };
  std::vector<Piece> open;
  double best = 0, bound = 0;
  std::size_t looks = 0;
  const auto look = [&](double turned, double within) {
    ++looks;
    const double size = std::abs(teeth.at<Value>(turned, within));
    best = std::max(best, size);
    return size;
  };
  const std::vector<double> breaks = teeth.breaks();
  for (std::size_t i = 1; i < breaks.size(); ++i)
    for (int k = 0; k < first_pieces && breaks[i] > breaks[i - 1]; ++k) {
      const double length = (breaks[i] - breaks[i - 1]) / first_pieces, from = breaks[i - 1] + k * length;
      const double to = from + length, middle = from + length / 2;
      open.push_back({from, to, look(from, middle), look(to, middle)});
    }
  while (!open.empty()) {
    const auto [from, to, at_from, at_to] = open.back();
    open.pop_back();
    const double middle = (from + to) / 2, most = std::max(at_from, at_to) + teeth.bend<Value>(from, to);
    if (most <= best * (1 + peak_within) || looks > most_looks || !(from < middle && middle < to)) {
      bound = std::max(bound, most);
      continue;
    }
    const double at_middle = look(middle, middle);
    open.push_back({from, middle, at_from, at_middle});
    open.push_back({middle, to, at_middle, at_to});
  }
  return bound * (1 + of_quadrature);
}

double mean_sideways(const Teeth& teeth) {
  const std::vector<double> breaks = teeth.breaks();
  double sum = 0;
  for (std::size_t i = 1; i < breaks.size(); ++i) {
    const double middle = (breaks[i - 1] + breaks[i]) / 2;
    sum += integral<double>(breaks[i - 1], breaks[i],
                            [&](double turned) { return std::abs(teeth.at<Sideways>(turned, middle)); });
  }
  return sum / teeth.pitch();
}

}  // namespace

Engagement engagement(const Cutter& cutter) {
  const double share = cutter.width / cutter.diameter;
  if (!cutter.centred) return {0, std::acos(1 - 2 * share)};
  const double half = std::asin(share);
  return {pi / 2 - half, pi / 2 + half};
}

double feed_per_tooth(const Cutter& cutter) {
  return cutter.feed / (cutter.teeth * cutter.spindle / (2 * pi));
}

double thickest_chip(const Cutter& cutter) {
  const auto [from, to] = engagement(cutter);
  return feed_per_tooth(cutter) * (to >= pi / 2 ? 1 : std::sin(to));
}

double cutting_speed(const Cutter& cutter) {
  return cutter.spindle * cutter.diameter / 2;
}

MillingForces milling_forces(const Cutter& cutter) {
  const Teeth teeth(cutter);
  const double along = cutter.kc11 * std::pow(feed_per_tooth(cutter), 1 - cutter.mc);
  const double sideways = along * std::hypot(1, cutter.radial);
  const double axial = along * std::tan(std::abs(cutter.helix)) * peak_of<Along>(teeth);
  MillingForces forces;
  forces.side_peak = sideways * peak_of<Sideways>(teeth);
  forces.side_mean = sideways * mean_sideways(teeth);
  (cutter.helix < 0 ? forces.thrust_peak : forces.lift_peak) = axial;
  forces.tangential_mean = along * teeth.mean_along();
  return forces;
}

}  // namespace cellproof
