// SPDX-License-Identifier: GPL-3.0-or-later
// Frames along a DH chain, in vectors of two or four numbers.
#pragma once

#include "kinematics/chain_frames.hpp"
#include "kinematics/sine_kernels.hpp"
#include "kinematics/turn.hpp"

namespace cellproof::chain {

namespace {

template <int width>
struct Lanes;
template <>
struct Lanes<2> {
  using Numbers = double __attribute__((vector_size(16)));
  using Bits = std::uint64_t __attribute__((vector_size(16)));
};
template <>
struct Lanes<4> {
  using Numbers = double __attribute__((vector_size(32)));
  using Bits = std::uint64_t __attribute__((vector_size(32)));
};

/// Four rows of a frame's column.
template <int width>
struct Column {
  static constexpr int parts = 4 / width;
  typename Lanes<width>::Numbers part[parts];
};

template <int width>
CELLPROOF_IN_LANE Column<width> operator*(double factor, const Column<width>& c) {
  Column<width> product;
  for (int i = 0; i < c.parts; ++i) product.part[i] = factor * c.part[i];
  return product;
}
template <int width>
CELLPROOF_IN_LANE Column<width> operator+(const Column<width>& a, const Column<width>& b) {
  Column<width> sum;
  for (int i = 0; i < a.parts; ++i) sum.part[i] = a.part[i] + b.part[i];
  return sum;
}
template <int width>
CELLPROOF_IN_LANE Column<width> operator-(const Column<width>& a, const Column<width>& b) {
  Column<width> difference;
  for (int i = 0; i < a.parts; ++i) difference.part[i] = a.part[i] - b.part[i];
  return difference;
}

template <int width>
CELLPROOF_IN_LANE Column<width> unit_column(int row) {
  Column<width> column{};
  column.part[row / width][row % width] = 1;
  return column;
}

template <int width>
struct LaneFrame {
  Column<width> x, y, z, origin;

  CELLPROOF_IN_LANE void turn_about_z(double sine, double cosine) {
    const Column<width> turned = cosine * x + sine * y;
    y = cosine * y - sine * x;
    x = turned;
  }
  CELLPROOF_IN_LANE void turn_about_x(Turn tilt) {
    const Column<width> turned = tilt.cosine * y + tilt.sine * z;
    z = tilt.cosine * z - tilt.sine * y;
    y = turned;
  }
  CELLPROOF_IN_LANE void shift(double along_x, double along_z) { origin = origin + (along_z * z + along_x * x); }
};

template <int width>
CELLPROOF_IN_LANE void write(const Column<width>& column, double* to) {
  __builtin_memcpy(to, column.part, sizeof column.part);
}

template <int width>
CELLPROOF_IN_LANE void write(const LaneFrame<width>& frame, double* to) {
  write(frame.x, to);
  write(frame.y, to + 4);
  write(frame.z, to + 8);
  write(frame.origin, to + 12);
}

/// The frame that a pose has in a frame.
template <int width>
CELLPROOF_IN_LANE void write_behind(const LaneFrame<width>& frame, const double* pose, double* to) {
  for (int column = 0; column < 4; ++column) {
    const double* by = pose + 4 * column;
    write((by[0] * frame.x + by[1] * frame.y) + (by[2] * frame.z + by[3] * frame.origin), to + 4 * column);
  }
}

/// Six angles and what fills the last vector.
template <int width>
struct Six {
  static constexpr int parts = (6 + width - 1) / width;
  typename Lanes<width>::Numbers part[parts];
};

template <int width>
CELLPROOF_IN_LANE typename Lanes<width>::Numbers load(const double* numbers) {
  typename Lanes<width>::Numbers all;
  __builtin_memcpy(&all, numbers, sizeof all);
  return all;
}

template <int width>
CELLPROOF_IN_LANE Six<width> six(const double* numbers) {
  if constexpr (width == 2) {
    return {{load<2>(numbers), load<2>(numbers + 2), load<2>(numbers + 4)}};
  } else {
    const Lanes<2>::Numbers last = load<2>(numbers + 4);
    return {{load<4>(numbers), Lanes<4>::Numbers{last[0], last[1], 0, 0}}};
  }
}

template <int width>
CELLPROOF_IN_LANE Six<width> thetas(const DhRow* rows) {
  const double last = rows[4].theta, very_last = rows[5].theta;
  if constexpr (width == 2) {
    using Two = Lanes<2>::Numbers;
    return {{Two{rows[0].theta, rows[1].theta}, Two{rows[2].theta, rows[3].theta}, Two{last, very_last}}};
  } else {
    using Four = Lanes<4>::Numbers;
    return {{Four{rows[0].theta, rows[1].theta, rows[2].theta, rows[3].theta}, Four{last, very_last, 0, 0}}};
  }
}

template <int width>
CELLPROOF_IN_LANE bool any_beyond(const Six<width>& angles, double size) {
  using Bits = typename Lanes<width>::Bits;
  Bits beyond{};
  for (int i = 0; i < angles.parts; ++i)
    beyond |= __builtin_bit_cast(Bits, (angles.part[i] > size) | (angles.part[i] < -size));
  std::uint64_t any = 0;
  for (int i = 0; i < width; ++i) any |= beyond[i];
  return any != 0;
}

struct Turns {
  double sines[8], cosines[8];
};

template <int width>
CELLPROOF_IN_LANE void turn(const Numbers& numbers, const double* values, Turns& turns) {
  Six<width> angles = thetas<width>(numbers.rows);
  for (int j = 0; j < 6; ++j) {
    const Six<width> column = six<width>(numbers.dh_from_values + 6 * j);
    for (int i = 0; i < angles.parts; ++i) angles.part[i] += column.part[i] * values[j];
  }
  if (!any_beyond(angles, sine_kernels::largest)) {
    using Vector = typename Lanes<width>::Numbers;
    for (int i = 0; i < angles.parts; ++i) {
      Vector sines, cosines;
      sine_kernels::sine_and_cosine<Vector, typename Lanes<width>::Bits>(angles.part[i], sines, cosines);
      __builtin_memcpy(turns.sines + width * i, &sines, sizeof sines);
      __builtin_memcpy(turns.cosines + width * i, &cosines, sizeof cosines);
    }
  } else {
    for (int i = 0; i < 6; ++i) {
      turns.sines[i] = __builtin_sin(angles.part[i / width][i % width]);
      turns.cosines[i] = __builtin_cos(angles.part[i / width][i % width]);
    }
  }
}

/// `step` takes the frame over one row of the table: void(Frame<width>&, const DhRow&, double sine, double cosine).
template <int width, class Step>
CELLPROOF_IN_LANE void write_frames(const Numbers& numbers, const double* values, Place* places, Step step) {
  const DhRow* const rows = numbers.rows;  // held here: what is written might overlay it
  Turns turns;
  turn<width>(numbers, values, turns);
  LaneFrame<width> frame{unit_column<width>(0), unit_column<width>(1), unit_column<width>(2), unit_column<width>(3)};
  write(frame, places[0]);
  for (int i = 0; i < 6; ++i) {
    step(frame, rows[i], turns.sines[i], turns.cosines[i]);
    write(frame, places[i + 1]);
  }
  write_behind(frame, numbers.flange_in_last, places[7]);
}

template <int width>
CELLPROOF_IN_LANE void write_standard_frames(const Numbers& numbers, const double* values, Place* places) {
  write_frames<width>(numbers, values, places,
                      [](LaneFrame<width>& frame, const DhRow& held, double sine, double cosine)
                          CELLPROOF_LAMBDA_IN_LANE {
                            const DhRow row = held;  // what is written might overlay it
                            frame.turn_about_z(sine, cosine);
                            frame.shift(row.a, row.d);
                            frame.turn_about_x(turn_by(row.alpha));
                          });
}

template <int width>
CELLPROOF_IN_LANE void write_modified_frames(const Numbers& numbers, const double* values, Place* places) {
  write_frames<width>(numbers, values, places,
                      [](LaneFrame<width>& frame, const DhRow& held, double sine, double cosine)
                          CELLPROOF_LAMBDA_IN_LANE {
                            const DhRow row = held;  // what is written might overlay it
                            frame.turn_about_x(turn_by(row.alpha));
                            frame.shift(row.a, row.d);
                            frame.turn_about_z(sine, cosine);
                          });
}

}  // namespace

}  // namespace cellproof::chain
