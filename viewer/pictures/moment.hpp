// SPDX-License-Identifier: GPL-3.0-or-later
// The cell at one instant of one run: where everything is and how it moves.
#pragma once

#include <string>

#include "checks/prove.hpp"
#include "scene/sight/sight.hpp"

namespace cellproof {

struct Moment {
  std::size_t run = 0;
  double time_s = 0;
  const Stretch* stretch = nullptr;  ///< of the cycle; none if the run could not be planned at all
  Arrangement arrangement;
  Joints joints = Joints::Zero(), joint_speeds = Joints::Zero();  ///< rad, rad/s
  Instant at;
  std::string tcp;                             ///< the one that holds, else the first; empty if there is none
  double tool_speed = 0, tool_turn_speed = 0;  ///< of the tcp, or the flange: mm/s, rad/s
  std::string held_part;                       ///< empty if nothing is in hand
};

/// `time_s` is held within the run. Where steps meet, it is of the step of that name, else of the later one.
Moment moment_of(const Scene& scene, const Cycle& cycle, std::size_t run, double time_s, const std::string& step = {});

inline Moment moment_of(const Proof& proof, std::size_t run, double time_s, const std::string& step = {}) {
  return moment_of(*proof.scene, *proof.cycle, run, time_s, step);
}

/// "rack 2, 1.57 s, step "pick the board"".
std::string moment_words(const Cycle& cycle, const Moment& moment);

}  // namespace cellproof
