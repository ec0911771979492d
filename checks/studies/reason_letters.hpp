// SPDX-License-Identifier: GPL-3.0-or-later
// One letter for each reason that a spot fails for, so that maps can be read without colour.
#pragma once

#include <array>
#include <string_view>

namespace cellproof {

struct ReasonLetter {
  std::string_view reason;
  char letter;
};

inline constexpr std::array<ReasonLetter, 12> reason_letters{{{"reach", 'R'},
                                                              {"limits", 'L'},
                                                              {"singularity", 'S'},
                                                              {"speed", 'V'},
                                                              {"clearance", 'C'},
                                                              {"sightline", 'I'},
                                                              {"grip", 'G'},
                                                              {"wrist", 'W'},
                                                              {"hold", 'H'},
                                                              {"release", 'U'},
                                                              {"sequence", 'Q'},
                                                              {"model", 'M'}}};

/// '?' for a reason that is none of these.
constexpr char letter_of_reason(std::string_view reason) {
  for (const auto& entry : reason_letters)
    if (entry.reason == reason) return entry.letter;
  return '?';
}

}  // namespace cellproof
