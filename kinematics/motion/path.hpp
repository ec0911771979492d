// SPDX-License-Identifier: GPL-3.0-or-later
// Geometric paths: where the arm passes, not when.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "kinematics/arm.hpp"

namespace cellproof {

/// A path through knots, straight in joint space between them, over a parameter s from 0 to 1.
/// A joint move has two knots and is exact. A linear move has so many that no point of a body strays more than
/// `stray_mm` from where the ideal line has it, which is proven (see LineSeries); its ideal motion is kept beside the
/// knots (see LinearTarget).
struct Knot {
  double s = 0;
  Joints values = Joints::Zero();
};

/// What a linear move follows exactly: the tcp's origin straight, its orientation by slerp (Shoemake, SIGGRAPH 1985)
/// in proportion to distance; a pure turn in proportion to angle.
struct LinearTarget {
  Pose tcp_in_flange = Pose::Identity();
  Pose start_in_base = Pose::Identity();  ///< of the tcp
  Pose end_in_base = Pose::Identity();
  double distance_mm() const;
  double angle() const;     ///< rad, 0 to pi
  Pose at(double s) const;  ///< tcp in base
  Twist direction() const;  ///< d(tcp)/ds: linear (mm), angular (rad), constant, base axes
};

/// Joint values and their first and second derivatives by s.
struct PathPoint {
  Joints values, first, second;
};

/// A point of the ideal motion.
struct ShapePoint {
  double s = 0;
  PathPoint point;
};

/// Upper bounds over one piece of a line, from knot to knot: of its third and fourth derivative's size by s.
struct PieceBend {
  Joints third, fourth;
};

/// A line as it was followed.
struct LineShape {
  std::vector<ShapePoint> points;  ///< at each knot and half way between
  std::vector<PieceBend> bends;    ///< of each piece
};

class Path {
 public:
  /// Straight in joint space.
  static Path joint(const Joints& from, const Joints& to);

  const std::vector<Knot>& knots() const { return knots_; }
  bool is_linear() const { return linear_; }              ///< follows a LinearTarget
  const LinearTarget& target() const { return target_; }  ///< only if is_linear()
  double stray_mm() const { return stray_mm_; }           ///< 0 for a joint move
  const Joints& start() const { return knots_.front().values; }
  const Joints& end() const { return knots_.back().values; }
  Path turned(const Joints& offset) const;  ///< the same with `offset` (rad) added to all joint values
  bool goes_nowhere() const;                ///< start and end agree and nothing moves between

  /// On the knots' chain, the motion that clearance is certified on; s is held within [0, 1].
  Joints on_chain(double s) const;
  /// The ideal motion with its derivatives; on a line by Newton from the chain and through the Jacobian.
  PathPoint at(const Arm& arm, double s) const;
  /// Of a line: the ideal motion as it was followed; empty for a joint move.
  const LineShape& shape() const;
  /// Σ |Δq_j| along the chain between s0 <= s1: how far each joint travels (rad).
  Joints travel(double s0, double s1) const;

 private:
  friend struct LineFollower;
  struct OnPiece {
    std::size_t piece;  ///< from knot `piece` to the next
    double share;       ///< 0 to 1 along it
  };
  OnPiece place_of(double s) const;
  void sum_up_travel();

  std::vector<Knot> knots_;
  std::vector<Joints> travelled_;  ///< Σ |Δq_j| up to each knot
  bool linear_ = false;
  LinearTarget target_;
  double stray_mm_ = 0;
  std::shared_ptr<const LineShape> shape_;  ///< never changed, so copies share it
};

/// Why a line ends early.
enum class LineStop { half_turn, out_of_reach, singularity };

struct LineFailure {
  LineStop why;
  double s = 0;                    ///< how far along, 0 to 1
  double at_mm = 0;                ///< the same in mm from the start
  Joints values = Joints::Zero();  ///< the last that could be reached
};

/// What a linear move asks for.
struct LineRequest {
  LinearTarget target;
  Joints start = Joints::Zero();  ///< must put the tcp at target.start_in_base
  /// For each joint an upper bound (mm) on the distance of any point it moves from its axis: turns joint errors into
  /// stray.
  Joints reach_mm = Joints::Zero();
  double stray_mm = 0.002;  ///< allowed, at most 0.005
};

/// Follows the line by continuation from `start`. The path keeps to that solution's branch, which is proven, span by
/// span; where a line passes straight through a singular pose, a joint that rests on it is taken to go on resting.
/// Limits are not looked at. Error: a half turn, or where the arm cannot follow, or no branch can be told, and why.
tl::expected<Path, LineFailure> follow_line(const Arm& arm, const LineRequest& request);

}  // namespace cellproof
