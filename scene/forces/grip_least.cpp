// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/grip_least.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace cellproof {

namespace {

/// A stretch of time over which the law's acceleration does not jump.
struct Phase {
  double from = 0, to = 0;
};

std::vector<Phase> phases_of(const TimeLaw& law) {
  const std::vector<double> switches = law.switches();
  std::vector<Phase> phases;
  for (std::size_t i = 1; i < switches.size(); ++i) phases.push_back({switches[i - 1], switches[i]});
  return phases;
}

MotionPoint point_of(const PathPoint& path, const LawPoint& law) {
  return {path.values, law.rate * path.first, law.rate_change * path.first + law.rate * law.rate * path.second};
}

/// A phase with the instants looked at in it.
struct Sampled {
  Phase phase;
  std::vector<GripInstant> samples;
  GripInstant least;
};

constexpr double worth_a_look = 1.1;     // times the least found so far
constexpr std::size_t most_refined = 8;  // phases, those that hold least; a law of many is cut finely as it is

class LeastSearch {
 public:
  explicit LeastSearch(const GripMove& move) : move_(move) {
    limits_.joints = move.joint_stops;
    by_joints_ = move.stop && only_turns(move.arm, move.part, move.motion.path);
    limits_.deceleration = by_joints_ ? std::numeric_limits<double>::infinity() : move.stop.value_or(0);
  }

  bool stop_by_joints() const { return by_joints_; }

  /// Every joint that moves tells how it stops, or the tcp's own deceleration does.
  bool stop_known() const {
    if (!by_joints_) return move_.stop.has_value();
    const Joints travel = move_.motion.path.travel(0, 1);
    constexpr double still = 1e-6;  // rad
    return ((travel.array() < still) || move_.joint_stops.array().isFinite()).all();
  }

  GripInstant at(double time, bool stop, const Phase& phase) const {
    LawPoint law = law_within(time, phase);
    law.rate *= move_.slowness;
    law.rate_change *= move_.slowness * move_.slowness;
    const PathPoint path = move_.motion.path.at(move_.arm, law.s);
    if (stop) {
      const MotionPoint point = point_of(path, law);
      law = stopping(law, held_speed(move_.arm, move_.part, point), point.speeds, limits_);
    }
    const Load load = held_load(move_.arm, move_.part, point_of(path, law));
    return {time, load, move_.holder(load)};
  }

  GripInstant least(bool stop) const {
    const auto phases = phases_of(move_.motion.law);
    if (phases.empty()) return at(0, stop, {0, 0});
    std::vector<Sampled> sampled;
    for (const Phase& phase : phases) sampled.push_back(samples_of(phase, stop));
    std::ranges::stable_sort(sampled, [](const Sampled& a, const Sampled& b) { return lower(a.least, b.least); });
    GripInstant best = sampled.front().least;
    for (std::size_t i = 0; i < std::min(sampled.size(), most_refined); ++i)
      best = std::min(best, refined(sampled[i], worth_a_look * best.factors.least(), stop), lower);
    return best;
  }

 private:
  static bool lower(const GripInstant& a, const GripInstant& b) { return !(a.factors.least() >= b.factors.least()); }

  /// A hair inside the phase, so that a jump at its end is not crossed.
  LawPoint law_within(double time, const Phase& phase) const {
    const TimeLaw& law = move_.motion.law;
    if (law.duration() <= 0) return law.at(0);
    const double inside = 1e-9 * (phase.to - phase.from);
    return law.at(std::clamp(time, phase.from + inside, phase.to - inside));
  }

  int pieces(const Phase& phase) const {
    const auto& law = move_.motion.law;
    // A law of many phases is cut finely enough as it is.
    const int phases = static_cast<int>(law.switches().size()) - 1;
    const int least_pieces = std::max(2, 36 / phases), most_pieces = 400;
    const double turned = move_.motion.path.travel(law.at(phase.from).s, law.at(phase.to).s).maxCoeff();
    return std::clamp(static_cast<int>(std::ceil(turned / radians(2))), least_pieces, most_pieces);
  }

  Sampled samples_of(const Phase& phase, bool stop) const {
    const int count = pieces(phase);
    std::vector<GripInstant> samples;
    for (int i = 0; i <= count; ++i)
      samples.push_back(at(phase.from + (phase.to - phase.from) * i / count, stop, phase));
    const GripInstant least = *std::min_element(samples.begin(), samples.end(), lower);
    return {phase, std::move(samples), least};
  }

  /// The least about those samples of a phase that are lower than their neighbours and than the limit.
  GripInstant refined(const Sampled& sampled, double limit, bool stop) const {
    const auto& samples = sampled.samples;
    GripInstant best = sampled.least;
    for (std::size_t i = 0; i < samples.size(); ++i) {
      const GripInstant &before = samples[i > 0 ? i - 1 : 0], &after = samples[std::min(i + 1, samples.size() - 1)];
      if (lower(before, samples[i]) || lower(after, samples[i]) || !(samples[i].factors.least() < limit)) continue;
      best = std::min(best, refined(before.time, after.time, stop, sampled.phase), lower);
    }
    return best;
  }

  GripInstant refined(double low, double high, bool stop, const Phase& phase) const {
    constexpr double golden = 0.6180339887498949;
    constexpr int rounds = 30;
    GripInstant inner = at(high - golden * (high - low), stop, phase),
                outer = at(low + golden * (high - low), stop, phase);
    for (int round = 0; round < rounds; ++round) {
      if (lower(inner, outer)) {
        high = outer.time;
        outer = inner;
        inner = at(high - golden * (high - low), stop, phase);
      } else {
        low = inner.time;
        inner = outer;
        outer = at(low + golden * (high - low), stop, phase);
      }
    }
    return std::min(inner, outer, lower);
  }

  const GripMove& move_;
  StopLimits limits_;
  bool by_joints_ = false;
};

bool holds(const GripMove& move, double factor) {
  return least_grip(move).least().factors.least() >= factor;
}

/// The greatest share of `whole` at which `holds_at` says yes, to 1 in 1000, on the safe side; 0 if none from 1/64 up.
template <class HoldsAt>
double greatest_share(const HoldsAt& holds_at) {
  double good = 1, bad = 1;
  while (!holds_at(good)) {
    bad = good;
    good /= 2;
    if (good < 1.0 / 64) return 0;
  }
  while (bad - good > 1e-3 * bad) {
    const double middle = (good + bad) / 2;
    (holds_at(middle) ? good : bad) = middle;
  }
  return good;
}

}  // namespace

const GripInstant& GripLeast::least() const {
  return stop_is_least() ? *stopped : moving;
}

bool GripLeast::stop_is_least() const {
  return stopped && !(stopped->factors.least() >= moving.factors.least());
}

GripLeast least_grip(const GripMove& move) {
  const LeastSearch search(move);
  GripLeast result;
  result.moving = search.least(false);
  result.stop_by_joints = search.stop_by_joints();
  if (search.stop_known()) result.stopped = search.least(true);
  return result;
}

std::optional<double> slowness_needed(GripMove move, double factor) {
  const double share = greatest_share([&](double slowness) {
    move.slowness = slowness;
    return holds(move, factor);
  });
  if (share == 0) return std::nullopt;
  return share;
}

std::optional<double> stop_allowed(GripMove move, double factor) {
  if (!move.stop) return std::nullopt;
  const double asked = *move.stop;
  const double share = greatest_share([&](double part) {
    move.stop = asked * part;
    return holds(move, factor);
  });
  if (share == 0) return std::nullopt;
  return share * asked;
}

}  // namespace cellproof
