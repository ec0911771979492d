// SPDX-License-Identifier: GPL-3.0-or-later
// Versions of a design side by side, as text and JSON.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

struct Version {
  std::string file;  ///< as the user named it
  Proof proof;
};

std::string compare_text(const std::vector<Version>& versions);
std::string compare_json(const std::vector<Version>& versions);

}  // namespace cellproof
