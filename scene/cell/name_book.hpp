// SPDX-License-Identifier: GPL-3.0-or-later
// Every name that a cell file gives or uses, with its place, for the check that comes after reading.
#pragma once

#include <string>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// What a name was given to.
enum class Sort { body, seat, part, tcp, suction, supply, jaw, camera, target, zone, hold, survey, step };

/// What a name has to stand for where it is used.
enum class Wanted {
  frame,          ///< world, base, links, flange, bodies, parts, seats, tcps, slots
  frame_off_arm,  ///< the same, but the arm must not move it
  hand_frame,     ///< the flange, or what rides on it
  seat,           ///< a seat, a grid's seat, a grid (its first), a slot
  body,
  body_off_arm,  ///< a body that does not ride on the arm
  end_effector_body,
  arm_stand,  ///< world or a body
  part,
  part_or_none,
  tcp,
  suction,
  supply,  ///< of vacuum
  jaw,
  camera,
  target,
  zone,
  hold,
  grasp,  ///< of the part named by `of`
  survey,
  survey_mover,  ///< a body that does not ride on the arm, or base
  holder,        ///< what a part is held with: a suction zone, jaw, tcp or hold
  pair_member    ///< a body, a part, or arm, end effector, surroundings
};

struct GivenName {
  std::string name;
  Sort sort;
  Origin where;
};

struct UsedName {
  std::string name;
  Wanted wanted;
  std::string of;  ///< for a grasp: its part
  Origin where;
};

struct NameBook {
  std::vector<GivenName> given;
  std::vector<UsedName> used;
};

}  // namespace cellproof
