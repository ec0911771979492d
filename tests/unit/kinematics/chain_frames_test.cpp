// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/chain_frames.hpp"

#include <array>
#include <cstring>

#include <catch2/catch.hpp>

#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

using Frames = std::array<std::array<double, 16>, 8>;

/// Filled with what no frame holds.
Frames written(void (*write)(const chain::Numbers&, const double*, chain::Place*), const Arm& arm,
               const Joints& values) {
  Frames frames;
  for (auto& frame : frames) frame.fill(-7);
  write({arm.rows.data(), arm.dh_from_values.data(), arm.flange_in_link6.data()}, values.data(),
        reinterpret_cast<chain::Place*>(frames.data()));
  return frames;
}

bool same_bits(const Frames& a, const Frames& b) {
  return std::memcmp(&a, &b, sizeof a) == 0;
}

}  // namespace

TEST_CASE("frames are the same to the bit by vectors of two and of four") {
  if (!chain::has_vectors_of_four()) {
    WARN("this processor has vectors of two only: nothing to compare");
    return;
  }
  Random random(5);
  for (int i = 0; i < 500; ++i) {
    const Arm arm = any_arm(random);
    Joints values = 3 * random.joints();
    if (i % 10 == 0) values[i / 10 % 6] = 2e5;  // beyond the fast sines
    CHECK(same_bits(written(chain::standard_frames_by_two, arm, values),
                    written(chain::standard_frames_by_four, arm, values)));
    CHECK(same_bits(written(chain::modified_frames_by_two, arm, values),
                    written(chain::modified_frames_by_four, arm, values)));
  }
}

TEST_CASE("all eight frames are written whole, the base's as the identity") {
  const Frames frames = written(chain::standard_frames, loader_arm(), Joints::Constant(0.4));
  const Eigen::Matrix4d base = Eigen::Map<const Eigen::Matrix4d>(frames[0].data());
  CHECK(base == Eigen::Matrix4d::Identity());
  for (const auto& frame : frames) {
    CHECK(frame[3] == 0);
    CHECK(frame[7] == 0);
    CHECK(frame[11] == 0);
    CHECK(frame[15] == 1);
  }
}
