// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/four_positions.hpp"

#include <cmath>

#include "kinematics/inverse/jacobian_determinant.hpp"
#include "kinematics/turn.hpp"

namespace cellproof {
namespace {

/// One number of each of the four positions.
using Numbers = double __attribute__((vector_size(32)));
using Bits = std::uint64_t __attribute__((vector_size(32)));
using Vectors = lanes::VectorOf<Numbers>;
using Axes = lanes::AxesOf<Numbers>;

struct FourTurns {
  Numbers sines[6], cosines[6];
};

CELLPROOF_IN_LANE void angles_of(const Arm& arm, const std::array<Joints, 4>& values, Numbers (&angles)[6]) {
  const double* const by = arm.dh_from_values.data();
  for (std::size_t i = 0; i < 6; ++i) angles[i] = Numbers{} + arm.rows[i].theta;
  for (int j = 0; j < 6; ++j) {
    const Numbers value{values[0].data()[j], values[1].data()[j], values[2].data()[j], values[3].data()[j]};
    for (int i = 0; i < 6; ++i) angles[i] += by[6 * j + i] * value;
  }
}

CELLPROOF_IN_LANE bool any_beyond(const Numbers (&angles)[6], double size) {
  Bits beyond{};
  for (const Numbers& angle : angles) beyond |= __builtin_bit_cast(Bits, (angle > size) | (angle < -size));
  return (beyond[0] | beyond[1] | beyond[2] | beyond[3]) != 0;
}

CELLPROOF_IN_LANE void turn(const Numbers (&angles)[6], FourTurns& turns) {
  if (any_beyond(angles, sine_kernels::largest)) {
    for (int i = 0; i < 6; ++i)
      for (int lane = 0; lane < 4; ++lane) {
        turns.sines[i][lane] = __builtin_sin(angles[i][lane]);
        turns.cosines[i][lane] = __builtin_cos(angles[i][lane]);
      }
  } else {
    for (int i = 0; i < 6; ++i)
      sine_kernels::sine_and_cosine<Numbers, Bits>(angles[i], turns.sines[i], turns.cosines[i]);
  }
}

struct Frames {
  Vectors x, y, z, origin;

  CELLPROOF_IN_LANE void turn_about_z(const Numbers& sine, const Numbers& cosine) {
    const Vectors turned = cosine * x + sine * y;
    y = cosine * y - sine * x;
    x = turned;
  }
  CELLPROOF_IN_LANE void turn_about_x(const Turn& tilt) {
    const Vectors turned = tilt.cosine * y + tilt.sine * z;
    z = tilt.cosine * z - tilt.sine * y;
    y = turned;
  }
  CELLPROOF_IN_LANE void shift(double along_x, double along_z) { origin = origin + (along_x * x + along_z * z); }
};

CELLPROOF_IN_LANE Frames base() {
  const Numbers none{}, one = none + 1;
  return {{one, none, none}, {none, one, none}, {none, none, one}, {none, none, none}};
}

/// The last link's frames; notes the axes that are passed.
CELLPROOF_IN_LANE Frames by_standard_rows(const DhRow* rows, const FourTurns& turns, Axes& axes) {
  Frames frame = base();
  for (int i = 0; i < 6; ++i) {
    axes.directions[i] = frame.z;
    axes.points[i] = frame.origin;
    frame.turn_about_z(turns.sines[i], turns.cosines[i]);
    frame.shift(rows[i].a, rows[i].d);
    frame.turn_about_x(turn_by(rows[i].alpha));
  }
  return frame;
}

CELLPROOF_IN_LANE Frames by_modified_rows(const DhRow* rows, const FourTurns& turns, Axes& axes) {
  Frames frame = base();
  for (int i = 0; i < 6; ++i) {
    frame.turn_about_x(turn_by(rows[i].alpha));
    frame.shift(rows[i].a, rows[i].d);
    frame.turn_about_z(turns.sines[i], turns.cosines[i]);
    axes.directions[i] = frame.z;
    axes.points[i] = frame.origin;
  }
  return frame;
}

CELLPROOF_IN_LANE Vectors along(const Frames& frame, const double* v) {
  return v[0] * frame.x + v[1] * frame.y + v[2] * frame.z;
}

template <class T>
CELLPROOF_IN_LANE T squared_gap(const lanes::VectorOf<T>& from, const double* to) {
  const lanes::VectorOf<T> gap{from.x - to[0], from.y - to[1], from.z - to[2]};
  return dot(gap, gap);
}

/// Errors still squared, determinants with their sign and in mm³.
CELLPROOF_LANE_CLONES
void work_out(const Arm& arm, const ArmStructure& structure, const std::array<Joints, 4>& values,
              const Pose& flange_in_base, FourPositions& result) {
  Numbers angles[6];
  angles_of(arm, values, angles);
  FourTurns turns;
  turn(angles, turns);
  Axes axes;
  const DhRow* const rows = arm.rows.data();
  const Frames last = arm.convention == DhConvention::standard ? by_standard_rows(rows, turns, axes)
                                                               : by_modified_rows(rows, turns, axes);
  const double *const hand = arm.flange_in_link6.data(), *const wanted = flange_in_base.data();
  const Numbers position = squared_gap(last.origin + along(last, hand + 12), wanted + 12);
  Numbers rotation = squared_gap(along(last, hand), wanted);
  for (int column = 1; column < 3; ++column)
    rotation += squared_gap(along(last, hand + 4 * column), wanted + 4 * column);
  const Numbers determinant = lanes::jacobian_determinant(axes, structure);
  __builtin_memcpy(result.position_errors.data(), &position, sizeof position);
  __builtin_memcpy(result.rotation_errors.data(), &rotation, sizeof rotation);
  __builtin_memcpy(result.determinants.data(), &determinant, sizeof determinant);
}

}  // namespace

FourPositions four_positions(const Arm& arm, const ArmStructure& structure, double length,
                             const std::array<Joints, 4>& values, const Pose& flange_in_base) {
  FourPositions result;
  work_out(arm, structure, values, flange_in_base, result);
  for (std::size_t lane = 0; lane < 4; ++lane) {
    result.position_errors[lane] = std::sqrt(result.position_errors[lane]);
    result.rotation_errors[lane] = std::sqrt(result.rotation_errors[lane]);
    result.determinants[lane] = std::abs(result.determinants[lane]) / (length * length * length);
  }
  return result;
}

}  // namespace cellproof
