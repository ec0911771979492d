// SPDX-License-Identifier: GPL-3.0-or-later
// A relief as text and as JSON.
#pragma once

#include <string>

#include "checks/studies/relief.hpp"

namespace cellproof {

/// A relief with what it was asked for and where it went.
struct ReliefAnswer {
  const Scene& scene;
  ReliefRequest request;
  const Relief& relief;
  std::string out;  ///< the file; "" while nothing is written
};

std::string relief_text(const ReliefAnswer& answer);
std::string relief_json(const ReliefAnswer& answer);

}  // namespace cellproof
