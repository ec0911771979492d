// SPDX-License-Identifier: GPL-3.0-or-later
// How many times a fixture holds, found another way: loads drawn at random and pushed on to where they hold least, each
// asked of every motion the part could begin with. What is called not held has such a motion to show, so the multiple
// found is never below the true one.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof::fixture_oracle {

struct Push {
  Vector3d force, at;
};

struct Tip {
  Vector3d at;
  double grip;
};

struct Fixture {
  std::vector<Vector2d> rests;
  double friction = 0;
  std::vector<Tip> tips;
  std::vector<Push> always;
  double side = 0, lift = 0, thrust = 0, height = 0;
  std::vector<Vector2d> over;  ///< corners of a convex outline, in order
};

/// How a part may begin to move: (velocity along x, y, turning about z, about x, y).
using Motion = std::array<double, 5>;

inline Vector3d speed(const Motion& m, const Vector3d& p) {
  return {m[0] + m[4] * p.z() - m[2] * p.y(), m[1] - m[3] * p.z() + m[2] * p.x(), m[3] * p.y() - m[4] * p.x()};
}

class Oracle {
 public:
  Oracle(Fixture fixture, unsigned seed) : in_(std::move(fixture)), random_(seed) {
    for (const Vector2d& rest : in_.rests) size_ = std::max(size_, rest.norm());
    for (std::size_t i = 0; i < in_.rests.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        for (std::size_t k = 0; k < j; ++k) threes_.push_back({k, j, i});
  }

  /// The least multiple for which some load is not held, by what `tries` loads find.
  double factor(int tries) {
    double best = 1e9;
    Cut at = random_cut();
    const auto ask = [&](const Cut& cut) {
      const double mine = multiple_of(cut, best);
      if (mine >= best) return;
      best = mine;
      at = cut;
    };
    for (const Cut& cut : cuts_at_corners()) ask(cut);
    for (int i = 0; i < tries; ++i) {
      const double done = static_cast<double>(i) / tries, step = std::pow(0.5, 9 * std::max(0.0, done - 0.2) / 0.8);
      ask(done < 0.2 ? random_cut() : beside(at, step));
    }
    return best;
  }

 private:
  struct Cut {
    double towards, strength, axial;  ///< strength and axial as shares
    std::size_t from;                 ///< corner of the outline
    double along, inward;             ///< along its side, and from there to the outline's middle
  };

  std::vector<Cut> cuts_at_corners() const {
    std::vector<Cut> cuts;
    constexpr int around = 20;
    for (std::size_t corner = 0; corner < in_.over.size(); ++corner)
      for (const double axial : {0.0, 1.0})
        for (int k = 0; k < around; ++k) cuts.push_back({2 * pi * k / around, 1, axial, corner, 0, 0});
    return cuts;
  }

  double share() { return std::uniform_real_distribution<>(0, 1)(random_); }

  Cut random_cut() {
    const auto corner = static_cast<std::size_t>(share() * static_cast<double>(in_.over.size()));
    return {2 * pi * share(), share() < 0.8 ? 1.0 : share(), ends(share()), std::min(corner, in_.over.size() - 1),
            ends(share()),    share() < 0.8 ? 0.0 : share()};
  }
  /// Every other time an end.
  static double ends(double share) { return share < 0.25 ? 0 : share > 0.75 ? 1 : 2 * share - 0.5; }
  Cut beside(Cut cut, double step) {
    const auto moved = [&](double value) { return std::clamp(value + step * (share() - 0.5), 0.0, 1.0); };
    const double which = share();
    if (which < 0.6) cut.towards += step * (share() - 0.5) * 2;
    if (which < 0.3 || which > 0.7) cut.along = moved(cut.along);
    if (which > 0.5) cut.axial = moved(cut.axial);
    if (share() < 0.1) cut.strength = moved(cut.strength);
    if (share() < 0.1) cut.inward = moved(cut.inward);
    return cut;
  }

  std::vector<Push> pushes(const Cut& cut, double times) const {
    std::vector<Push> all = in_.always;
    const Vector2d a = in_.over[cut.from], b = in_.over[(cut.from + 1) % in_.over.size()];
    Vector2d middle = Vector2d::Zero();
    for (const Vector2d& corner : in_.over) middle += corner / static_cast<double>(in_.over.size());
    const Vector2d edge = a + cut.along * (b - a), place = edge + cut.inward * (middle - edge);
    const double axial = -in_.thrust + cut.axial * (in_.lift + in_.thrust), side = in_.side * cut.strength;
    all.push_back({Vector3d(side * std::cos(cut.towards), side * std::sin(cut.towards), axial) * times,
                   {place.x(), place.y(), in_.height}});
    return all;
  }

  static double power(const std::vector<Push>& pushes, const Motion& motion) {
    double all = 0;
    for (const Push& push : pushes) all += push.force.dot(speed(motion, push.at));
    return all;
  }

  double multiple_of(const Cut& cut, double best) {
    if (in_.rests.size() == 3) return first_not_held(cut, 0, best, {0, 1, 2}, true);
    double least = best;
    for (const auto& three : threes_) {
      const auto [from, to] = carried(cut, three);
      if (from < to && from < least) {
        // Where a rest just lifts off, the loads on either side of it are asked too.
        least = std::min(least, first_not_held(cut, from, std::min(least, to), three, false));
      }
    }
    const double tipped = tips_over(cut);
    return std::min(least, tipped);
  }

  Vector3d presses(const std::vector<Push>& pushes, const std::array<std::size_t, 3>& three) const {
    // By moments about the line through the other two.
    Vector3d on;
    for (Eigen::Index i = 0; i < 3; ++i) {
      const auto pick = [&](Eigen::Index which) { return in_.rests[three[static_cast<unsigned>(which % 3)]]; };
      const Vector2d mine = pick(i), a = pick(i + 1), b = pick(i + 2), way = b - a;
      const auto lever = [&](const Vector2d& p) { return way.x() * (p - a).y() - way.y() * (p - a).x(); };
      double moment = 0;
      for (const Push& push : pushes) {
        // A push along the plane at some height tips as one along -z further on would.
        const double height = push.at.z();
        moment +=
            -push.force.z() * lever(push.at.head<2>()) + height * (way.x() * push.force.y() - way.y() * push.force.x());
      }
      on[i] = moment / lever(mine);
    }
    return on;
  }

  std::pair<double, double> carried(const Cut& cut, const std::array<std::size_t, 3>& three) const {
    const Vector2d a = in_.rests[three[0]], ab = in_.rests[three[1]] - a, ac = in_.rests[three[2]] - a;
    if (std::abs(ab.x() * ac.y() - ab.y() * ac.x()) < 1e-6 * size_ * size_) return {0, 0};
    const Vector3d none = presses(pushes(cut, 0), three), once = presses(pushes(cut, 1), three);
    double from = 0, to = 1e9;
    for (Eigen::Index i = 0; i < 3; ++i) {
      const double grows = once[i] - none[i];
      if (grows > 0) from = std::max(from, -none[i] / grows);
      if (grows < 0) to = std::min(to, -none[i] / grows);
      if (grows == 0 && none[i] < 0) return {0, 0};
    }
    return {from, to};
  }

  /// The least multiple at which no three can carry it.
  double tips_over(const Cut& cut) const {
    double last = 0;
    for (const auto& three : threes_) {
      const auto [from, to] = carried(cut, three);
      if (from < to) last = std::max(last, to);
    }
    return last;
  }

  double first_not_held(const Cut& cut, double from, double to, const std::array<std::size_t, 3>& three,
                        bool unbounded) {
    if (unbounded && !not_held(pushes(cut, to), three)) return to;
    if (!unbounded) {
      if (not_held(pushes(cut, from), three)) return from;
      if (!not_held(pushes(cut, to), three)) return 1e9;
    }
    double good = from, bad = to;
    for (int turn = 0; turn < 40 && bad - good > 1e-6 * bad; ++turn) {
      const double middle = (good + bad) / 2;
      (not_held(pushes(cut, middle), three) ? bad : good) = middle;
    }
    return bad;
  }

  /// What a motion gains beyond what friction eats; the turning about x and y as given is what lifts each rest by as
  /// much at least as its friction asks (three rests alone and no tips: just as much, so that it tells by itself).
  double gain(const std::vector<Push>& pushes, const std::array<std::size_t, 3>& three, const Vector3d& on,
              const Motion& motion) const {
    if (in_.tips.empty()) {
      double all = power(pushes, {motion[0], motion[1], motion[2], 0, 0});
      for (Eigen::Index i = 0; i < 3; ++i) {
        const Vector2d& rest = in_.rests[three[static_cast<unsigned>(i)]];
        all -= in_.friction * std::max(0.0, on[i]) * speed(motion, {rest.x(), rest.y(), 0}).head<2>().norm();
      }
      return all;
    }
    double up = -1e300, all = power(pushes, motion);
    for (const std::size_t i : three) {
      const Vector3d at(in_.rests[i].x(), in_.rests[i].y(), 0), moves = speed(motion, at);
      up = std::max(up, in_.friction * moves.head<2>().norm() - moves.z());
    }
    for (const Push& push : pushes) all += push.force.z() * up;
    for (const Tip& tip : in_.tips) all -= tip.grip * speed(motion, tip.at).head<2>().norm();
    return all;
  }

  static double size_of(const Motion& motion) {
    double all = 0;
    for (const double part : motion) all += part * part;
    return std::sqrt(all);
  }

  /// Motions in lengths of `size_`.
  Motion scaled(const Motion& unit) const {
    return {unit[0], unit[1], unit[2] / size_, unit[3] / size_, unit[4] / size_};
  }

  bool not_held(const std::vector<Push>& pushes, const std::array<std::size_t, 3>& three) {
    Vector3d on = Vector3d::Zero();
    double force = 0;
    for (const Push& push : pushes) force += push.force.norm();
    const bool flat = in_.tips.empty();
    if (flat) {
      on = presses(pushes, three);
      if (on.minCoeff() < -1e-9 * force) return true;
    }
    const double counts = 1e-7 * force;
    const auto worth = [&](const Motion& unit) { return gain(pushes, three, on, scaled(unit)) / size_of(unit); };
    Motion best{1, 0, 0, 0, 0};
    double most = -1e300;
    const auto take = [&](const Motion& unit) {
      const double mine = worth(unit);
      if (mine > most) {
        most = mine;
        best = unit;
      }
      return mine > counts;
    };
    for (int k = 0; k < 16; ++k)
      if (take({std::cos(pi * k / 8), std::sin(pi * k / 8), 0, 0, 0})) return true;
    std::vector<Vector2d> about(in_.rests.begin(), in_.rests.end());
    for (int ring = 1; ring <= 3; ++ring)
      for (int k = 0; k < 8; ++k)
        about.push_back(size_ * 0.45 * ring * Vector2d(std::cos(pi * k / 4 + ring), std::sin(pi * k / 4 + ring)));
    for (const Vector2d& centre : about)
      for (const double sign : {-1.0, 1.0})
        if (take({sign * centre.y() / size_, -sign * centre.x() / size_, sign, 0, 0})) return true;
    if (!flat)
      for (int k = 0; k < 16; ++k)
        if (take({0, 0, 0, std::cos(pi * k / 8), std::sin(pi * k / 8)})) return true;
    return climb(best, most, counts, worth, flat ? 3 : 5);
  }

  /// Uphill from the best motion, by random steps that become smaller.
  template <class Worth>
  bool climb(Motion best, double most, double counts, const Worth& worth, std::size_t free) {
    for (double step = 0.3; step > 1e-5; step *= 0.7) {
      const double size = size_of(best);
      for (double& part : best) part /= size;
      for (int turn = 0; turn < (free == 3 ? 6 : 14); ++turn) {
        Motion next = best;
        for (std::size_t i = 0; i < free; ++i) next[i] += step * (2 * share() - 1);
        const double mine = worth(next);
        if (mine <= most) continue;
        most = mine;
        best = next;
        if (most > counts) return true;
      }
    }
    return false;
  }

  Fixture in_;
  std::mt19937 random_;
  double size_ = 0;
  std::vector<std::array<std::size_t, 3>> threes_;
};

}  // namespace cellproof::fixture_oracle
