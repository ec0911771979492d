// SPDX-License-Identifier: GPL-3.0-or-later
// How many times lips hold, found another way: lips as many small springs under a rigid plate, and side load and twist
// asked of every centre about which the part could begin to turn. What is called not held has such a motion to show, so
// the multiple of slip found is never below the true one.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>
#include <vector>

namespace cellproof::suction_oracle {

/// A short stretch of lip: its place (mm), length (mm) and friction.
struct Spot {
  double x, y, length, friction;
};

struct Grip {
  std::vector<Spot> spots;
  struct Pull {
    double x, y, newton;
  };
  std::vector<Pull> vacuums;
};

/// A force (N) on the part at a place (mm) and a moment (N mm) beside it, in the seal plane's axes, z into the part.
struct Load {
  std::array<double, 3> force{}, at{}, moment{};
};

inline void add_circle(Grip& grip, double x, double y, double radius, double friction, int count = 720) {
  const double step = 2 * 3.14159265358979323846 / count;
  for (int i = 0; i < count; ++i) {
    const double angle = (i + 0.5) * step;
    grip.spots.push_back({x + radius * std::cos(angle), y + radius * std::sin(angle), radius * step, friction});
  }
}

inline void add_edge(Grip& grip, double ax, double ay, double bx, double by, double friction, int count = 200) {
  const double length = std::hypot(bx - ax, by - ay) / count;
  for (int i = 0; i < count; ++i) {
    const double t = (i + 0.5) / count;
    grip.spots.push_back({ax + t * (bx - ax), ay + t * (by - ay), length, friction});
  }
}

/// Three equations in three unknowns, by elimination with the greatest pivot.
inline std::array<double, 3> solved(std::array<std::array<double, 4>, 3> rows) {
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = i + 1; j < 3; ++j)
      if (std::abs(rows[j][i]) > std::abs(rows[i][i])) std::swap(rows[i], rows[j]);
    for (std::size_t j = 0; j < 3; ++j) {
      if (j == i) continue;
      const double share = rows[j][i] / rows[i][i];
      for (std::size_t k = 0; k < 4; ++k) rows[j][k] -= share * rows[i][k];
    }
  }
  return {rows[0][3] / rows[0][0], rows[1][3] / rows[1][1], rows[2][3] / rows[2][2]};
}

/// Force (N) of each spring where the plate is pressed with `newton` and moments about the axes x and y (N mm).
inline std::vector<double> spring_forces(const Grip& grip, double newton, double about_x, double about_y) {
  // The plate sinks by a + b y - c x. A push up at (x, y) has the moments y and -x.
  std::array<std::array<double, 4>, 3> rows{};
  for (const Spot& spot : grip.spots) {
    const double shape[3] = {1, spot.y, -spot.x};
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j) rows[i][j] += spot.length * shape[i] * shape[j];
  }
  rows[0][3] = newton;
  rows[1][3] = about_x;
  rows[2][3] = about_y;
  const auto [a, b, c] = solved(rows);
  std::vector<double> forces;
  for (const Spot& spot : grip.spots) forces.push_back(spot.length * (a + b * spot.y - c * spot.x));
  return forces;
}

struct Factors {
  double peel = std::numeric_limits<double>::infinity();
  double slip = std::numeric_limits<double>::infinity();  ///< not told beyond peel
};

class Oracle {
 public:
  Oracle(const Grip& grip, const Load& load) : grip_(grip) {
    double pressed = 0, about_x = 0, about_y = 0, length = 0;
    for (const auto& vacuum : grip.vacuums) {
      pressed += vacuum.newton;
      about_x += vacuum.newton * vacuum.y;
      about_y -= vacuum.newton * vacuum.x;
    }
    at_rest_ = spring_forces(grip, pressed, about_x, about_y);
    for (const Spot& spot : grip.spots) {
      middle_x_ += spot.length * spot.x;
      middle_y_ += spot.length * spot.y;
      length += spot.length;
    }
    middle_x_ /= length;
    middle_y_ /= length;
    for (const Spot& spot : grip.spots) size_ = std::max(size_, std::hypot(spot.x - middle_x_, spot.y - middle_y_));
    put(load);
  }

  Factors factors() const {
    Factors result;
    for (std::size_t i = 0; i < at_rest_.size(); ++i) {
      if (!(at_rest_[i] > 0)) return {0, 0};
      if (change_[i] < 0) result.peel = std::min(result.peel, -at_rest_[i] / change_[i]);
    }
    if (side_x_ != 0 || side_y_ != 0 || twist_ != 0) result.slip = least_over_motions();
    return result;
  }

 private:
  /// (velocity of the middle along x and y, turning times the size)
  using Motion = std::array<double, 3>;

  void put(const Load& load) {
    const auto& [fx, fy, fz] = load.force;
    const double x = load.at[0] - middle_x_, y = load.at[1] - middle_y_, z = load.at[2];
    // About the middle: what presses adds no pressure there, but its lever tips.
    const double about_x = load.moment[0] + y * fz - z * fy, about_y = load.moment[1] + z * fx - x * fz;
    const double off = std::max(0.0, fz);
    change_ = spring_forces(grip_, -off, -about_x - middle_y_ * off, -about_y + middle_x_ * off);
    side_x_ = fx;
    side_y_ = fy;
    twist_ = load.moment[2] + x * fy - y * fx;
  }

  /// The multiple at which the load is as strong as all friction against a motion.
  double multiple(const Motion& motion) const {
    const double turning = motion[2] / size_;
    double rest = 0, change = 0;
    for (std::size_t i = 0; i < grip_.spots.size(); ++i) {
      const Spot& spot = grip_.spots[i];
      const double speed = spot.friction * std::hypot(motion[0] - turning * (spot.y - middle_y_),
                                                      motion[1] + turning * (spot.x - middle_x_));
      rest += at_rest_[i] * speed;
      change += change_[i] * speed;
    }
    const double power = side_x_ * motion[0] + side_y_ * motion[1] + twist_ * turning - change;
    return power > 0 ? rest / power : std::numeric_limits<double>::infinity();
  }

  static Motion turned(const Motion& motion, const Motion& by) {
    Motion sum{motion[0] + by[0], motion[1] + by[1], motion[2] + by[2]};
    const double size = std::sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
    for (double& part : sum) part /= size;
    return sum;
  }

  /// Motions all over the sphere, then ever smaller steps from the best: level sets have no hollows.
  double least_over_motions() const {
    constexpr int starts = 200;
    double best = std::numeric_limits<double>::infinity();
    Motion at{1, 0, 0};
    for (int i = 0; i < starts; ++i) {
      const double z = 1 - (2 * i + 1.0) / starts, round = std::sqrt(1 - z * z), angle = 2.399963229728653 * i;
      const Motion motion{round * std::cos(angle), round * std::sin(angle), z};
      if (const double mine = multiple(motion); mine < best) {
        best = mine;
        at = motion;
      }
    }
    for (double step = 0.2; step > 1e-6; step *= 0.6)
      for (bool better = true; better;) {
        better = false;
        for (int i = 0; i < 12; ++i) {
          const double angle = 0.5235987755982988 * i;
          const Motion a = std::abs(at[2]) < 0.7 ? turned({-at[1], at[0], 0}, {}) : turned({0, -at[2], at[1]}, {});
          const Motion b{at[1] * a[2] - at[2] * a[1], at[2] * a[0] - at[0] * a[2], at[0] * a[1] - at[1] * a[0]};
          const double c = step * std::cos(angle), s = step * std::sin(angle);
          const Motion next = turned(at, {c * a[0] + s * b[0], c * a[1] + s * b[1], c * a[2] + s * b[2]});
          const double mine = multiple(next);
          if (!(mine < best * (1 - 1e-9))) continue;
          best = mine;
          at = next;
          better = true;
        }
      }
    return best;
  }

  const Grip& grip_;
  std::vector<double> at_rest_, change_;
  double middle_x_ = 0, middle_y_ = 0, size_ = 0, side_x_ = 0, side_y_ = 0, twist_ = 0;
};

}  // namespace cellproof::suction_oracle
