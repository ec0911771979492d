// SPDX-License-Identifier: GPL-3.0-or-later
// Versions of a design side by side, as text and JSON.
#pragma once

#include <string>
#include <vector>

#include "checks/studies/margins.hpp"

namespace cellproof {

struct Version {
  std::string file;  ///< as the user named it
  Proof proof;
};

/// `margins` are those of `compared`.
std::string compare_text(const std::vector<Version>& versions, const std::vector<ComparedMargin>& margins);
std::string compare_json(const std::vector<Version>& versions, const std::vector<ComparedMargin>& margins);

}  // namespace cellproof
